"""From a bare clone to a running program, with the standard library only.

`commands` reads the command line, `environment` keeps `.venv`, `lock` says what belongs in it,
`parts` names what must come from the system, `provision` fetches that where it may, `relock` writes
the locks anew, and `machine` is the one place that asks anything of the machine itself.
"""

"""Invented specifications of firms: the general one under another name, with something changed."""

from __future__ import annotations

from qa.specification.loader import built_in_path


def firm_file(name: str = "our-limits/1", **replaced: str) -> bytes:
    """The general file under a firm's name.

    Args:
        name: key and version.
        replaced: for each first word of a line such as `decision_rule`, what its first such line
            says instead.
    """
    lines = built_in_path("general-grp/1").read_text(encoding="utf-8").splitlines()
    for word, value in {"name": f'"{name}"', **replaced}.items():
        place = next(at for at, line in enumerate(lines) if line.startswith(f"{word} = "))
        lines[place] = f"{word} = {value}"
    return "\n".join(lines).encode() + b"\n"


def with_limit(content: bytes, table: str, key: str, value: str) -> bytes:
    """A file in which one key of one table says something else."""
    head, mark, rest = content.decode().partition(f"[{table}]\n")
    assert mark
    before, _, after = rest.partition(f"\n{key} = ")
    _, _, following = after.partition("\n")
    return f"{head}{mark}{before}\n{key} = {value}\n{following}".encode()

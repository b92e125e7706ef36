"""Writes the locks anew from `pyproject.toml`: for every Python from 3.11, with digests.

A version already locked is kept where it still fits, so that one new dependency changes one entry;
`python3 -m qa lock --upgrade` takes the newest of everything.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from qa.bootstrap.environment import Environment
from qa.bootstrap.lock import DEVELOPMENT, LOCKING, RUNTIME, Lock
from qa.bootstrap.machine import Machine
from qa.errors import SetupError

_OPTIONS = (
    *("--quiet", "--universal", "--python-version", "3.11", "--generate-hashes"),
    *("--no-emit-index-url", "--no-emit-find-links"),
    *("--custom-compile-command", "python3 -m qa lock"),
)


def relock(environment: Environment, arguments: Sequence[str], machine: Machine) -> None:
    """Write all locks anew.

    Args:
        environment: the environment, with the lock named "locking" installed.
        arguments: further options of the resolver, such as "--upgrade".
        machine: where the resolver runs.

    Raises:
        SetupError: the dependencies cannot be met together.
    """
    runtime = RUNTIME.path(Path())
    _write(RUNTIME, ("pyproject.toml",), environment, arguments, machine)
    development = ("pyproject.toml", "--group", DEVELOPMENT.name, "--constraints", str(runtime))
    _write(DEVELOPMENT, development, environment, arguments, machine)
    _write(LOCKING, ("--group", LOCKING.name), environment, arguments, machine)


def _write(
    lock: Lock,
    sources: Sequence[str],
    environment: Environment,
    arguments: Sequence[str],
    machine: Machine,
) -> None:
    path = lock.path(Path())
    uv = (str(environment.program("uv")), "--directory", str(environment.root))
    compiling = (*uv, "pip", "compile", *sources, *_OPTIONS)
    outcome = machine.run([*compiling, "--output-file", str(path), *arguments])
    if not outcome.is_good:
        raise SetupError(
            f"{outcome.text.strip()}\n{path} could not be written; the resolver said why above. "
            f"Mend pyproject.toml and run the same command again."
        )
    machine.say(f"{path} is written.")

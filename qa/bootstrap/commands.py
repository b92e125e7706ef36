"""The words of development after `python3 -m qa`; all else goes to `laidtrue`."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from qa.bootstrap.environment import Environment, parts_to_make, prepare
from qa.bootstrap.lock import DEVELOPMENT, FOLDER, LOCKING, RUNTIME, Lock
from qa.bootstrap.machine import Machine, this_machine
from qa.bootstrap.parts import CHECKS, PACKS, Part
from qa.bootstrap.provision import provide
from qa.bootstrap.relock import relock
from qa.errors import EXIT_UNREADABLE, SetupError

ROOT = Path(__file__).resolve().parents[2]
WORKERS = "2"
"""Tests run in as many processes as the smallest machine they are run on has cores."""

Command = Callable[[Environment, Sequence[str], Machine], int]


def is_checkout() -> bool:
    """Tell whether this is a checkout, with locks, and not a package installed by other means."""
    return (ROOT / FOLDER).is_dir()


def main(arguments: Sequence[str]) -> int:
    """Follow the command line.

    Returns:
        The exit status: 0 done, 1 a check failed, 2 something stood in the way.
    """
    try:
        return follow(arguments, Environment(root=ROOT), this_machine())
    except SetupError as error:
        print(error, file=sys.stderr)
        return EXIT_UNREADABLE
    except OSError as error:
        where = f" at {error.filename}" if error.filename else ""
        print(f"The set-up stopped{where}: {error.strerror or error}.", file=sys.stderr)
        return EXIT_UNREADABLE
    except KeyboardInterrupt:
        print(
            "Stopped. Run the same command again; it goes on from a clean state.", file=sys.stderr
        )
        return 130


def follow(arguments: Sequence[str], environment: Environment, machine: Machine) -> int:
    """Follow the command line in one checkout on one machine.

    Raises:
        SetupError: something is missing that could not be installed.
    """
    word = arguments[0] if arguments else ""
    command = COMMANDS.get(word)
    if command is None:
        return _laidtrue(environment, arguments, machine)
    machine.enter(environment.root)
    return command(environment, arguments[1:], machine)


def _provide(
    environment: Environment, lock: Lock, parts: tuple[Part, ...], machine: Machine
) -> None:
    """Provide all that a command needs; the system's parts at once, to ask the user once."""
    provide((*parts_to_make(environment), *parts), machine)
    prepare(environment, lock, machine)


def _laidtrue(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, RUNTIME, PACKS, machine)
    machine.become([str(environment.python), str(environment.launcher), *arguments])


def _test(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, DEVELOPMENT, (*PACKS, *CHECKS), machine)
    machine.become([str(environment.python), "-m", "pytest", "-n", WORKERS, *arguments])


def _bench(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, DEVELOPMENT, (*PACKS, *CHECKS), machine)
    machine.become([str(environment.python), "-m", "tests.bench", *arguments])


def _pictures(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, DEVELOPMENT, (*PACKS, *CHECKS), machine)
    machine.become([str(environment.python), "-m", "tests.pictures", *arguments])


def _fuzz(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, DEVELOPMENT, (*PACKS, *CHECKS), machine)
    machine.become([str(environment.python), "-m", "tests.flow.fuzzing", *arguments])


def _texts(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, DEVELOPMENT, (), machine)
    machine.become([str(environment.python), "-m", "tests.texts", *arguments])


def _lint(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    """Run every check, also after one has failed, so that one run names every fault."""
    if arguments:
        raise SetupError(f"lint takes no arguments, and was given: {' '.join(arguments)}")
    _provide(environment, DEVELOPMENT, (), machine)
    python = str(environment.python)
    checks = (
        (python, "-m", "ruff", "format", "--check", "."),
        (python, "-m", "ruff", "check", "."),
        (python, "-m", "mypy"),
        (python, str(environment.program("lint-imports"))),
    )
    statuses = [machine.show(check) for check in checks]
    return 1 if any(statuses) else 0


def _lock(environment: Environment, arguments: Sequence[str], machine: Machine) -> int:
    _provide(environment, LOCKING, (), machine)
    relock(environment, arguments, machine)
    return 0


COMMANDS: Mapping[str, Command] = MappingProxyType(
    {
        "test": _test,
        "bench": _bench,
        "fuzz": _fuzz,
        "pictures": _pictures,
        "texts": _texts,
        "lint": _lint,
        "lock": _lock,
    }
)

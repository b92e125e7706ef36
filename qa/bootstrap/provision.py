"""Fetches parts of the system where that is allowed, and else says in a sentence how to do it."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from itertools import chain

from qa.bootstrap.machine import Machine, Outcome
from qa.bootstrap.parts import Part, missing
from qa.errors import SetupError

PAUSES_S = (5.0, 20.0)
"""Seconds to wait before the second and the third try of a package source that does not answer."""

_APT = (
    *("env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-qq"),
    # Another program may hold the lock for as long as it installs.
    *("-o", "DPkg::Lock::Timeout=300", "-o", "Acquire::Retries=3"),
)


def provide(parts: Sequence[Part], machine: Machine) -> None:
    """Make sure that the machine has the parts.

    Raises:
        SetupError: a part is missing and may not or could not be installed.
    """
    lacking = missing(parts, machine)
    if not lacking:
        return
    by_hand = _by_hand(lacking, machine)
    commands = _commands(lacking, machine)
    if commands is None:
        raise SetupError(f"{_lack(lacking)} {by_hand}")
    packages = " ".join(_packages(lacking, machine))
    machine.say(f"Installing {packages} for {_purposes(lacking)} …")
    outcome = _try(commands, machine)
    still = missing(lacking, machine)
    if still:
        raise SetupError(f"{_told(outcome)}{_lack(still)} {_by_hand(still, machine)}")


def _commands(parts: Sequence[Part], machine: Machine) -> tuple[tuple[str, ...], ...] | None:
    """Return the commands that install the parts here, or None where that is not allowed."""
    packages = _packages(parts, machine)
    if machine.system == "Darwin":
        return (("brew", "install", *packages),) if machine.has_program("brew") else None
    if not machine.has_program("apt-get"):
        return None
    elevation = machine.elevation()
    if elevation is None:
        return None
    update = (*elevation, *_APT, "update")
    install = (*elevation, *_APT, "install", "--yes", "--no-install-recommends", *packages)
    return (update, install)


def _try(commands: Sequence[Sequence[str]], machine: Machine) -> Outcome:
    """Run the commands until the last of them ends well, three times at most.

    The first one may fail and the last still succeed: one broken source of packages among many.
    """
    outcome = Outcome(status=1)
    for pause_s in chain((0.0,), PAUSES_S):
        if pause_s:
            machine.pause(pause_s)
        for command in commands:
            outcome = machine.run(command)
        if outcome.is_good:
            break
    return outcome


def _packages(parts: Sequence[Part], machine: Machine) -> tuple[str, ...]:
    if machine.system == "Darwin":
        names = [part.brew for part in parts]
    else:
        names = [name for part in parts for name in part.packages(machine.distribution)]
    return tuple(dict.fromkeys(names))


def _by_hand(parts: Sequence[Part], machine: Machine) -> str:
    """Say what the user can do."""
    packages = _packages(parts, machine)
    if machine.system == "Darwin":
        return (
            f"Run this, then the same command again: {shlex.join(('brew', 'install', *packages))}"
        )
    if machine.has_program("apt-get"):
        command = ("sudo", "apt-get", "install", "--yes", *packages)
        return f"Run this, then the same command again: {shlex.join(command)}"
    return "Install what holds them on this system, then run the same command again."


def _lack(parts: Sequence[Part]) -> str:
    names = _listed(part.names[0] for part in parts)
    return f"This machine lacks {names}, needed for {_purposes(parts)}."


def _purposes(parts: Sequence[Part]) -> str:
    return _listed(part.purpose for part in parts)


def _listed(words: Iterable[str]) -> str:
    """List words as a sentence does, each once: a, b and c."""
    *firsts, last = dict.fromkeys(words)
    return f"{', '.join(firsts)} and {last}" if firsts else last


def _told(outcome: Outcome) -> str:
    """Put before our sentence what the failed program said last, if it failed and said anything."""
    said = outcome.text.strip()
    if outcome.is_good or not said:
        return ""
    return f"{said.splitlines()[-1]}\n"

"""A machine that does nothing and remembers what it was asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn

from qa.bootstrap.machine import Machine, Outcome


class BecameError(Exception):
    """Stands for the bootstrap's end: the program it handed over to."""

    def __init__(self, command: Sequence[str]) -> None:
        self.command = tuple(command)
        super().__init__(" ".join(command))


@dataclass
class FakeMachine:
    """What the machine has, what it answers, and what it was asked.

    Attributes:
        has: libraries, programs and modules that are there.
        elevation: the words before a command run as root, or None.
        answer: how a program ends; may change `has` and the disk as that program would.
        commands: every program run, in order.
        said: every sentence told to the user.
        pauses_s: every wait.
    """

    system: str = "Linux"
    distribution: str = "debian"
    has: set[str] = field(default_factory=set)
    elevation: tuple[str, ...] | None = None
    answer: Callable[[Sequence[str]], Outcome] = lambda command: Outcome(status=0)
    commands: list[tuple[str, ...]] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    pauses_s: list[float] = field(default_factory=list)
    entered: list[Path] = field(default_factory=list)

    def machine(self) -> Machine:
        """Return it in the form that the bootstrap takes."""
        return Machine(
            system=self.system,
            distribution=self.distribution,
            python="python3",
            has_library=self.has.__contains__,
            has_program=self.has.__contains__,
            has_module=self.has.__contains__,
            elevation=lambda: self.elevation,
            run=self._run,
            show=lambda command: self._run(command).status,
            enter=self.entered.append,
            become=_become,
            pause=self.pauses_s.append,
            say=self.said.append,
        )

    def _run(self, command: Sequence[str]) -> Outcome:
        self.commands.append(tuple(command))
        return self.answer(command)


def _become(command: Sequence[str]) -> NoReturn:
    raise BecameError(command)

"""The one tree of errors, and the one table from an error to an exit status.

Every error is a sentence for a person: what is wrong, where, and how to mend it. Attributes carry
the subject, so that a program need not parse the sentence. Packages add branches here, never
elsewhere, so that the whole tree can be read in one sitting.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


class LaidtrueError(Exception):
    """Root of all errors that Laidtrue raises on purpose."""


class DomainError(LaidtrueError, ValueError):
    """A figure lies outside the domain of a formula of the trade.

    Attributes:
        quantity: what was given, with its unit, such as "air temperature, °C".
        value: the value given.
        domain: the domain in words, such as "-20 to 50".
    """

    def __init__(self, quantity: str, value: object, domain: str) -> None:
        self.quantity = quantity
        self.value = value
        self.domain = domain
        super().__init__(f"{quantity} is {value}; it must be {domain}.")


class OutlineError(LaidtrueError, ValueError):
    """An outline does not bound an area; `point_m` says where.

    Attributes:
        point_m: the place of the fault in the outline's own coordinates, or None.
    """

    def __init__(self, sentence: str, point_m: tuple[float, float] | None = None) -> None:
        self.point_m = point_m
        super().__init__(sentence)


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault found in a record or in a specification.

    Attributes:
        place: where, such as "record.jsonl, line 12" or "our-firm.toml, check.deck.moisture".
        sentence: what is wrong and how to mend it, ending in a full stop.
        line: the line number from 1, or None where the fault is not in a line.
        field: the field's path such as "mix.kg", or None.
    """

    place: str
    sentence: str
    line: int | None = None
    field: str | None = None

    def __str__(self) -> str:
        return f"{self.place}: {self.sentence}"


class RecordError(LaidtrueError):
    """A record cannot be read; `problems` holds every fault found, in the order of the lines."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        lines = "\n".join(str(problem) for problem in problems)
        super().__init__(f"{lines}\nNothing has been taken in.")


class SpecificationError(LaidtrueError):
    """A specification cannot be used; `problems` holds every fault found."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))


class AccountError(LaidtrueError):
    """What was typed about a person or an account cannot be taken.

    Attributes:
        problems: every fault found; `field` is "account." and the name of the field.
    """

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__("\n".join(problem.sentence for problem in problems))


class PhotoError(LaidtrueError):
    """A file that should be a photograph cannot be taken as one.

    Attributes:
        name: the file's name as the record gives it.
    """

    def __init__(self, name: str, sentence: str) -> None:
        self.name = name
        super().__init__(f"{name}: {sentence}")


class PackError(LaidtrueError):
    """A pack cannot be made or written."""


class StoreError(LaidtrueError):
    """The database or the folder of originals cannot be used as it is."""


class ConflictError(LaidtrueError):
    """What was sent contradicts what the record already holds.

    Attributes:
        entry: id of the entry, or None where it is not about one.
        held: digest of the content that the record holds, or None.
        sent: digest of the content that was sent, or None.
    """

    def __init__(
        self,
        sentence: str,
        *,
        entry: str | None = None,
        held: str | None = None,
        sent: str | None = None,
    ) -> None:
        self.entry = entry
        self.held = held
        self.sent = sent
        super().__init__(sentence)


class NotFoundError(LaidtrueError):
    """What was asked for is not there, or belongs to another firm, which must look the same."""


class NotAllowedError(LaidtrueError):
    """The person's roles do not allow what they asked for."""


class NotSignedInError(LaidtrueError):
    """Nobody is signed in, or the sign-in has ended or does not reach far enough."""


class TooOftenError(LaidtrueError):
    """The same was tried too often; `again_in_s` says after how many seconds it may be again."""

    def __init__(self, sentence: str, *, again_in_s: int) -> None:
        self.again_in_s = again_in_s
        super().__init__(sentence)


class TooLargeError(LaidtrueError):
    """More was sent than is taken."""


class SetupError(LaidtrueError):
    """The machine lacks something that a bare checkout needs, and it could not be installed."""


class SettingError(LaidtrueError):
    """A setting of the installation does not say what it must."""


class TextsError(LaidtrueError):
    """A catalogue of texts in another language cannot be read."""


class UsageError(LaidtrueError):
    """The command was called in a way that it cannot follow."""


EXIT_UNREADABLE = 2
"""Exit status for every LaidtrueError on the command line."""

HTTP_STATUS: Mapping[type[LaidtrueError], int] = MappingProxyType(
    {
        NotSignedInError: 401,
        NotAllowedError: 403,
        NotFoundError: 404,
        ConflictError: 409,
        TooLargeError: 413,
        TooOftenError: 429,
        StoreError: 500,
        SetupError: 500,
        LaidtrueError: 400,
    }
)
"""What the site answers; a class that is not named answers as the class that it derives from."""

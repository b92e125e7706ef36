"""Readers of single values: from parsed JSON to a typed value, or a fault in words.

A reader is a callable that takes what `json` parsed and answers the typed value, or raises `Fault`.
Kinds of entry declare their fields with `Annotated[type, reader]`; `schema` puts them together.
Unit and range stand here once, so that every kind refuses the same impossible number in the same
words.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, datetime
from enum import StrEnum
from functools import lru_cache
from typing import Any, TypeVar

Json = Any
"""What `json.loads` answers: the only untyped values of the project, and only inside a reader."""

E = TypeVar("E", bound=StrEnum)

LONGEST_TEXT = 20_000
LONGEST_KEY = 80


class Fault(Exception):  # noqa: N818 - it is a finding about a value, gathered, not an error that ends
    """A value that cannot be taken; `faults` pairs the path inside the value with a sentence."""

    def __init__(self, sentence: str, path: str = "") -> None:
        self.faults: list[tuple[str, str]] = [(path, sentence)]
        super().__init__(sentence)

    def under(self, name: str) -> Fault:
        """The same fault seen from the value that holds this one as `name`."""
        self.faults = [(name + path, sentence) for path, sentence in self.faults]
        return self

    @classmethod
    def joined(cls, parts: list[Fault]) -> Fault:
        """One fault that carries all of `parts`."""
        whole = cls("")
        whole.faults = [fault for part in parts for fault in part.faults]
        return whole


Reader = Callable[[Json], Any]


def shown(value: Json) -> str:
    """A value as a sentence quotes it: short, with a real minus sign."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "null"
    if isinstance(value, int) and abs(value) >= 10**15:
        return f"a number of {len(str(abs(value)))} digits"
    if isinstance(value, int | float):
        return f"{value:.10g}".replace("-", "−")
    if isinstance(value, str):
        return f"“{visible(value)}”"
    return "a list" if isinstance(value, list) else "an object"


def visible(words: str) -> str:
    """Foreign text as a sentence quotes it: short, on one line, no sign that steers a terminal."""
    signs = "".join(sign if sign.isprintable() else "�" for sign in words[:61])
    return f"{signs[:57]}…" if len(words) > 60 else signs


def number(
    low: float = -math.inf, high: float = math.inf, *, reason: str, above: bool = False
) -> Reader:
    """A reader of a finite number from `low` (excluded with `above`) to `high`.

    Args:
        low: smallest number that can be true.
        high: largest number that can be true.
        reason: what such a number is, to follow a semicolon: "a mix weighs more than nothing".
        above: whether `low` itself is refused.
    """

    def read(value: Json) -> float:
        if type(value) is not float and type(value) is not int:
            raise Fault(f"is {shown(value)}; it must be a number without quotes")
        if not low <= value <= high or (above and value == low):
            raise Fault(f"is {shown(value)}; {reason}")
        return float(value)

    return read


def count(reason: str, *, least: int = 0, most: int = 1_000_000) -> Reader:
    """A reader of a whole number from `least` to `most`."""

    def read(value: Json) -> int:
        if type(value) not in (int, float) or value != value // 1:
            raise Fault(f"is {shown(value)}; it must be a whole number")
        if not least <= value <= most:
            raise Fault(f"is {shown(value)}; {reason}")
        return int(value)

    return read


_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")


def text(value: Json) -> str:
    """Free text of at least one visible character."""
    if type(value) is not str:
        raise Fault(f"is {shown(value)}; it must be text in quotes")
    if not value.strip():
        raise Fault("is empty; write the text or leave the field out")
    if len(value) > LONGEST_TEXT:
        raise Fault(f"has {len(value)} characters; the longest text is {LONGEST_TEXT}")
    if _CONTROL.search(value):
        raise Fault("holds a control character; remove it")
    return value


def key(value: Json) -> str:
    """A short name by which other entries refer to this thing."""
    if type(value) is not str:
        raise Fault(f"is {shown(value)}; it must be a key in quotes")
    return _checked_key(value)


@lru_cache(maxsize=4096)  # a record names the same people, areas and lots in every entry
def _checked_key(value: str) -> str:
    if not value or value != value.strip() or len(value) > LONGEST_KEY or not value.isprintable():
        raise Fault(
            f"is {shown(value)}; a key has 1 to {LONGEST_KEY} visible characters and no space "
            "at its ends"
        )
    return value


_BAY = re.compile(r"r[1-9][0-9]{0,3}b[1-9][0-9]{0,3}")


def bay_key(value: Json) -> str:
    """A bay's key, "r2b3" for the third bay of the second row."""
    if type(value) is not str or not _BAY.fullmatch(value):
        raise Fault(f"is {shown(value)}; a bay is named like r2b3: row 2, bay 3")
    return value


def truth(value: Json) -> bool:
    """True or false."""
    if type(value) is not bool:
        raise Fault(f"is {shown(value)}; it must be true or false, without quotes")
    return value


_TIME_SIGNS = re.compile(r"[0-9W-]+T[0-9:.,]+(Z|[+-][0-9:]+)?")
"""Python's reader takes any sign between date and time; ISO 8601 takes T."""
_FIRST_YEAR, _LAST_YEAR = 1970, 2200
"""So that no arithmetic with a time can leave the calendar."""


def moment(value: Json) -> datetime:
    """A time with an offset, ISO 8601."""
    if type(value) is not str:
        raise Fault(f"is {shown(value)}; it must be a time such as 2026-05-12T08:40:00+01:00")
    try:
        when = datetime.fromisoformat(value if _TIME_SIGNS.fullmatch(value) else "")
    except ValueError as error:
        raise Fault(
            f"is {shown(value)}, which is no time; write it like 2026-05-12T08:40:00+01:00"
        ) from error
    if when.tzinfo is None:
        raise Fault(
            f"is {shown(value)}, a time without an offset, so nobody can tell when that was; "
            "add the offset, such as +01:00 for British Summer Time"
        )
    if not _FIRST_YEAR <= when.year <= _LAST_YEAR:
        raise Fault(
            f"is {shown(value)}; a record's times lie between {_FIRST_YEAR} and {_LAST_YEAR}, "
            "check the year"
        )
    return when


def day(value: Json) -> date:
    """A calendar date, ISO 8601."""
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError) as error:
        raise Fault(f"is {shown(value)}; it must be a date such as 2026-05-12") from error


def choice(words: type[E]) -> Reader:
    """A reader of one word of `words`."""
    known = {word.value: word for word in words}

    def read(value: Json) -> E:
        found = known.get(value) if type(value) is str else None
        if found is None:
            raise Fault(f"is {shown(value)}; it must be one of: {', '.join(known)}")
        return found

    return read


def some(reader: Reader, *, least: int = 1, most: int | None = None, what: str = "value") -> Reader:
    """A reader of a list of `least` values or more, and `most` or less, each taken by `reader`."""

    def read(value: Json) -> tuple[Any, ...]:
        if type(value) is not list:
            raise Fault(f"is {shown(value)}; it must be a list in square brackets")
        if len(value) < least:
            raise Fault(f"has {len(value)} of at least {least} {what}s; add what is missing")
        if most is not None and len(value) > most:
            raise Fault(f"has {len(value)} {what}s; at most {most} are taken")
        read_values, faults = [], []
        for index, item in enumerate(value):
            try:
                read_values.append(reader(item))
            except Fault as fault:
                faults.append(fault.under(f"[{index}]"))
        if faults:
            raise Fault.joined(faults)
        return tuple(read_values)

    return read


_COORDINATE = number(-10_000, 10_000, reason="a roof's coordinates lie within 10 km of its origin")


def place(dimensions: int, names: str) -> Reader:
    """A reader of one point as a list of `dimensions` metres, called `names` in sentences."""

    def read(value: Json) -> tuple[float, ...]:
        if type(value) is not list or len(value) != dimensions:
            raise Fault(f"is {shown(value)}; a point is a list {names} in metres")
        return tuple(_COORDINATE(coordinate) for coordinate in value)

    return read


_PHOTO_FILE = re.compile(r"photos/[^/\\]{1,200}")


def photo_file(value: Json) -> str:
    """The name of an original inside the folder's `photos/`."""
    if (
        type(value) is not str
        or not _PHOTO_FILE.fullmatch(value)
        or not value.isprintable()
        or value in ("photos/.", "photos/..")
    ):
        raise Fault(f"is {shown(value)}; a photo is named photos/FILE, without further folders")
    return value


_HEX_DIGEST = re.compile(r"[0-9a-f]{64}")


def sha256(value: Json) -> str:
    """A SHA-256 as 64 lower-case hexadecimal digits."""
    if type(value) is not str or not _HEX_DIGEST.fullmatch(value):
        raise Fault(f"is {shown(value)}; it must be a SHA-256 of 64 lower-case hex digits")
    return value


_UUID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")


def uuid(value: Json) -> str:
    """A UUID in lower-case canonical form."""
    if type(value) is str and _UUID.fullmatch(value):
        return value
    if type(value) is str and _UUID.fullmatch(value.lower()):
        raise Fault(f"is {shown(value)}; write the UUID in lower case")
    raise Fault(
        f"is {shown(value)}; it must be a UUID such as 0196b1c2-5a3e-7c10-8f00-5d2f6a1b9c3d"
    )


def word_of(pattern: str, meaning: str) -> Reader:
    """A reader of text that matches `pattern`; `meaning` says what it must be."""
    compiled = re.compile(pattern)

    def read(value: Json) -> str:
        if type(value) is not str or not compiled.fullmatch(value):
            raise Fault(f"is {shown(value)}; it must be {meaning}")
        return value

    return read


field_path = word_of(r"(/[a-z0-9_]{1,40}){1,8}", "a path such as /client/name")
"""Where a value stands inside a body."""

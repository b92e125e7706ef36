"""Typed reading of one table of a specification's file, which notes faults and goes on.

A reader that stopped at the first fault would make a firm load its file once for every slip. So a
fault is noted, a stand-in is answered, and nothing that was built from a stand-in is ever handed
out: the loader raises as soon as all is read and anything was noted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from enum import StrEnum
from typing import TypeVar

from qa.errors import Problem

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)


class Faults:
    """The faults of one file, in the order in which they were found."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._problems: list[Problem] = []

    @property
    def problems(self) -> tuple[Problem, ...]:
        """All that was noted."""
        return tuple(self._problems)

    def note(self, path: str, key: str, sentence: str) -> None:
        """Note one fault.

        Args:
            path: the table, such as "check.deck.moisture", or "" for the file's own keys.
            key: the key in it.
            sentence: what is wrong and how to mend it, ending in a full stop.
        """
        place = f"{self._file}, {path}" if path else self._file
        field = f"{path}.{key}" if path else key
        self._problems.append(Problem(place=place, sentence=sentence, field=field))


class Table:
    """One table of the file: each key is read once, with its type, and the rest is refused.

    Attributes:
        path: where the table stands, such as "check.deck.moisture".
    """

    def __init__(self, values: Mapping[str, object], path: str, faults: Faults) -> None:
        self.path = path
        self._values = values
        self._faults = faults
        self._read: set[str] = set()
        self._faulty: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    @property
    def is_faulty(self) -> bool:
        """Whether a fault was noted on any of its own keys."""
        return bool(self._faulty)

    def is_sound(self, *keys: str) -> bool:
        """Whether no fault was noted on any of `keys`."""
        return self._faulty.isdisjoint(keys)

    def note(self, key: str, sentence: str) -> None:
        """Note a fault of `key`; the sentence ends in a full stop."""
        self._faulty.add(key)
        self._faults.note(self.path, key, sentence)

    def optional(self, read: Callable[[str], T], key: str) -> T | None:
        """Read `key` by one of the methods below, or answer None where the key is absent."""
        return read(key) if key in self else None

    def text(self, key: str) -> str:
        """Read a text of at least one visible character."""
        value = self._take(key)
        if isinstance(value, str) and value.strip():
            return value
        if isinstance(value, str):
            self.note(key, f"{key} is empty; write the text.")
        elif value is not None:
            self.note(key, f"{key} is {_shown(value)}; write a text in quotes.")
        return ""

    def number(self, key: str) -> float:
        """Read a finite number."""
        value = self._take(key)
        if value is None:
            return 0.0
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.note(key, f"{key} is {_shown(value)}; write a number without quotes.")
        elif not -_GREATEST <= value <= _GREATEST:
            self.note(key, f"{key} is {_shown(value)}; no figure of a roof is like that.")
        else:
            return float(value)
        return 0.0

    def numbers(self, key: str) -> tuple[float, ...]:
        """Read a list of different numbers above 0, at least one."""
        values = self._list(key)
        sound = all(
            isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < _GREATEST
            for value in values
        )
        if not sound:
            self.note(key, f"{key} holds something that is not a number above 0; correct it.")
            return ()
        if self.is_sound(key) and not values:
            self.note(key, f"{key} is an empty list; write at least one number.")
        if len(set(values)) < len(values):
            self.note(key, f"{key} names a number twice; name each once.")
        return tuple(float(value) for value in values if isinstance(value, int | float))

    def count(self, key: str, *, least: int) -> int:
        """Read a whole number of at least `least`."""
        number = self.number(key)
        if self.is_sound(key) and (number < least or number != int(number)):
            self.note(key, f"{key} is {number:g}; write a whole number, {least} or more.")
        return int(number)

    def flag(self, key: str) -> bool:
        """Read true or false."""
        value = self._take(key)
        if not isinstance(value, bool | None):
            self.note(key, f"{key} is {_shown(value)}; write true or false, without quotes.")
        return value is True

    def choice(self, key: str, kind: type[E]) -> E:
        """Read one of the values of an enumeration."""
        return self._as_choice(key, self._take(key), kind)

    def choices(self, key: str, kind: type[E]) -> tuple[E, ...]:
        """Read a list of different values of an enumeration, at least one."""
        values = self._list(key)
        found = tuple(self._as_choice(key, value, kind) for value in values)
        if self.is_sound(key) and not found:
            self.note(key, f"{key} is an empty list; name at least one.")
        if self.is_sound(key) and len(set(found)) < len(found):
            self.note(key, f"{key} names something twice; name each once.")
        return found

    def texts(self, key: str) -> tuple[str, ...]:
        """Read a list of texts."""
        values = self._list(key)
        if not all(isinstance(value, str) for value in values):
            self.note(key, f"{key} holds something that is not a text; write each in quotes.")
        return tuple(value for value in values if isinstance(value, str))

    def table(self, key: str) -> Table:
        """Read a table inside this one."""
        value = self._take(key)
        inside = f"{self.path}.{key}" if self.path else key
        if isinstance(value, dict):
            return Table(value, inside, self._faults)
        if value is not None:
            self.note(key, f"{key} is {_shown(value)}; it must be a table of its own.")
        return Table({}, inside, Faults(""))  # one fault is enough: all that it lacks is not noted

    def tables(self) -> Iterator[tuple[str, Table]]:
        """Read every key of this table as a table inside it."""
        for key in self:
            yield key, self.table(key)

    def rows(self, key: str) -> Iterator[Table]:
        """Read a list of tables, such as the rows of a chart."""
        for number, value in enumerate(self._list(key), start=1):
            path = f"{self.path}.{key}, row {number}"
            if isinstance(value, dict):
                yield Table(value, path, self._faults)
            else:
                self.note(key, f"row {number} of {key} is {_shown(value)}; write {{ … }}.")

    def refuse_rest(self) -> None:
        """Note every key that was not read: a misspelt key must not pass for an absent one."""
        for key in self:
            if key not in self._read:
                self.note(key, f"{key} is not a key that belongs here; correct or remove it.")

    def _take(self, key: str) -> object:
        """Answer the raw value, or None, which TOML cannot write, where the key is missing."""
        self._read.add(key)
        if key not in self:
            self.note(key, f"{key} is missing; add it.")
        return self._values.get(key)

    def _list(self, key: str) -> list[object]:
        value = self._take(key)
        if not isinstance(value, list | None):
            self.note(key, f"{key} is {_shown(value)}; write a list in [ ].")
        return value if isinstance(value, list) else []

    def _as_choice(self, key: str, value: object, kind: type[E]) -> E:
        allowed = list(kind)
        if isinstance(value, str) and value in allowed:
            return kind(value)
        if value is not None:
            words = ", ".join(f'"{word}"' for word in allowed)
            self.note(key, f"{key} is {_shown(value)}; it must be one of {words}.")
        return allowed[0]


_GREATEST = 1e9
"""No figure of a roof comes near it; a whole number in TOML may have thousands of digits."""


def _shown(value: object) -> str:
    """Quote a value as the file writes it, without its whole length."""
    if isinstance(value, str):
        return f'"{value[:60]}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    return str(value)[:60]

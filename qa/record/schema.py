"""From a frozen dataclass to a reader of its JSON object.

A kind's body is a dataclass whose fields carry their readers: `kg: Annotated[float, MASS_KG]`. The
dataclass is the only statement of the format: field names, which of them may be left out (those
with a default), types, ranges and which are personal all follow from it.
"""

from __future__ import annotations

import dataclasses
import difflib
import typing
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Annotated, Any, TypeVar

from qa.record.fields import Fault, Json, Reader, sha256, shown, visible

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Withheld:
    """A personal value that is not disclosed here; only its salted digest is known."""

    digest: str


@dataclass(frozen=True, slots=True)
class PersonalReader:
    """A reader of a personal field: the value itself, or the digest that stands for it."""

    reader: Reader

    def __call__(self, value: Json) -> Any:
        """The value, or `Withheld` with the digest that stands for it."""
        if type(value) is dict and value.keys() == {"digest"}:
            return Withheld(sha256(value["digest"]))
        return self.reader(value)


class Body:
    """Base of every kind's body.

    A subclass may override `faults` to refuse combinations of values that no single field shows.
    """

    __slots__ = ()

    def faults(self) -> Iterator[tuple[str, str]]:
        """Pairs of field path and sentence for what the fields say together."""
        yield from ()


B = TypeVar("B")


def object_reader(cls: type[B]) -> Callable[[Json], B]:
    """A reader of the JSON object that `cls` describes.

    Raises (the reader): Fault with every unknown, missing or refused field of the object.
    """
    readers = field_readers(cls)
    attribute = {json_name(field.name): field.name for field in dataclasses.fields(cls)}  # type: ignore[arg-type]
    required = frozenset(
        json_name(field.name)
        for field in dataclasses.fields(cls)  # type: ignore[arg-type]
        if field.default is dataclasses.MISSING
    )

    def read(value: Json) -> B:
        if type(value) is not dict:
            raise Fault(f"is {shown(value)}; it must be an object in curly brackets")
        taken: dict[str, Any] = {}
        parts: list[Fault] = []
        for name, item in value.items():
            reader = readers.get(name)
            if reader is None:
                parts.append(Fault(_unknown(name, readers), f".{visible(name)}"))
                continue
            if item is None and name not in required:
                continue
            try:
                taken[attribute[name]] = reader(item)
            except Fault as fault:
                parts.append(fault.under(f".{name}"))
        if not required <= value.keys():
            missing = (name for name in readers if name in required and name not in value)
            parts.extend(Fault("is missing; it must be given", f".{name}") for name in missing)
        if parts:
            raise Fault.joined(parts)
        return _agreeing(cls(**taken))

    return read


def _agreeing(body: B) -> B:
    """`body` itself, unless its fields contradict each other."""
    if isinstance(body, Body):
        parts = [Fault(sentence, path) for path, sentence in body.faults()]
        if parts:
            raise Fault.joined(parts)
    return body


def _unknown(name: str, readers: Mapping[str, Reader]) -> str:
    near = difflib.get_close_matches(visible(name), readers, n=1)
    hint = f"did you mean {near[0]}?" if near else f"the fields are: {', '.join(readers)}"
    return f"is not a field of this kind; {hint}"


def field_readers(cls: type) -> Mapping[str, Reader]:
    """The reader of every field of `cls`, by name, in the order of the class."""
    return _field_readers(cls)


@cache
def _field_readers(cls: type) -> Mapping[str, Reader]:
    hints = typing.get_type_hints(cls, include_extras=True)
    return {
        json_name(field.name): _reader_in(hints[field.name]) for field in dataclasses.fields(cls)
    }


def holds_personal(cls: type) -> bool:
    """Whether `cls`, or a value inside it, has a personal field at all; most kinds have none."""
    return _holds_personal(cls)


@cache
def _holds_personal(cls: type) -> bool:
    readers = _field_readers(cls).values()
    hints = typing.get_type_hints(cls).values()
    nested = {
        part
        for hint in hints
        for part in _parts(hint)
        if isinstance(part, type) and dataclasses.is_dataclass(part) and part is not Withheld
    }
    return any(isinstance(reader, PersonalReader) for reader in readers) or any(
        holds_personal(part) for part in nested
    )


def _parts(hint: Any) -> Iterator[Any]:
    """The types that a field's type is made of."""
    yield hint
    for part in typing.get_args(hint):
        yield from _parts(part)


def json_name(attribute: str) -> str:
    """A field's name in JSON: `from_` is `from`, which Python keeps for itself."""
    return attribute.rstrip("_")


def _reader_in(hint: Any) -> Reader:
    """The reader that a field's `Annotated` type carries, inside `| None` too."""
    if typing.get_origin(hint) is Annotated:
        return typing.cast(Reader, hint.__metadata__[0])
    for part in typing.get_args(hint):
        if typing.get_origin(part) is Annotated:
            return typing.cast(Reader, part.__metadata__[0])
    raise TypeError(f"{hint} carries no reader")


def written(value: Any) -> Json:
    """A body, or a value in one, as the JSON that `object_reader` reads back to it.

    Fields that may be left out and hold None are left out; a correction's null body stays.
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        if isinstance(value, Withheld):
            return {"digest": value.digest}
        return {
            json_name(field.name): written(item)
            for field in dataclasses.fields(value)
            if (item := getattr(value, field.name)) is not None
            or field.default is dataclasses.MISSING
        }
    if isinstance(value, tuple):
        return [written(item) for item in value]
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return int(value)
    return str(value) if isinstance(value, str) else value

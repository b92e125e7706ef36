"""The fields of a kind of entry as a person fills them in, made from the kind's own dataclass.

So the form that puts an entry right needs no list of its own, and a field that is added to a kind
is on it. What is typed is turned into the record's JSON here; whether it can be true, the record's
own reader says.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any

from qa.record.fields import Json
from qa.record.kinds.papers import Photo
from qa.record.schema import Body, Withheld, json_name
from qa.services.field_words import LABELS, unit_of

_OF_THE_LEDGER: Mapping[type, frozenset[str]] = {
    Photo: frozenset({"file", "sha256", "bytes", "media_type"})
}
"""Fields that tell of a file that does not change with the words about it."""
_PINNED = frozenset({"specification"})
"""Fields that a job keeps for good."""
_LONG = frozenset(
    {"address", "description", "finding", "note", "protection", "reason", "statement", "text"}
)


class Shape(StrEnum):
    """How a field is filled in."""

    TEXT = "text"
    LONG_TEXT = "long text"
    NUMBER = "number"
    COUNT = "count"
    CHOICE = "choice"
    YES_NO = "yes or no"
    DAY = "day"
    MOMENT = "moment"
    WORDS = "words"
    """Keys, a comma between them."""
    NUMBERS = "numbers"
    """Figures, a semicolon between them."""
    POINTS = "points"
    """Rows of figures, a line each."""
    RINGS = "rings"
    """Outlines, a line each, with semicolons between their corners."""
    ROWS = "rows"
    """Objects, a line each, with semicolons between their fields."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainField:
    """One field of a form.

    Attributes:
        path: names of the JSON objects that lead to it, and its own: ("client", "name").
        required: whether the kind asks for it.
        options: for a choice, the words.
        columns: for rows, the fields of one; for points, how many figures a row has.
        in_full_row: for a field of a row, whether a row that is not empty needs it.
    """

    path: tuple[str, ...]
    label: str
    unit: str
    shape: Shape
    required: bool
    options: tuple[str, ...] = ()
    columns: tuple[PlainField, ...] = ()
    figures: int = 0
    in_full_row: bool = False

    @property
    def name(self) -> str:
        """The path as one word."""
        return "_".join(self.path)


def plain_fields(kind: type[Body]) -> tuple[PlainField, ...]:
    """The fields of a kind's body that a person may fill in, in the order of the format."""
    return tuple(_of_class(kind, (), "", _OF_THE_LEDGER.get(kind, frozenset()) | _PINNED))


def row_fields(field: PlainField, row: int) -> Iterator[PlainField]:
    """The fields of one row of a field of rows; none is asked for, as an empty row is left out.

    Args:
        field: whose shape is `Shape.ROWS`.
        row: its place, from 0.
    """
    for column in field.columns:
        yield dataclasses.replace(
            column,
            path=(*field.path, str(row), *column.path),
            required=False,
            in_full_row=column.required,
        )


def held_at(body: Json, path: tuple[str, ...]) -> Json:
    """The value at a path of a body as JSON, or None; a number leads into a list."""
    for name in path:
        if isinstance(body, list):
            body = body[int(name)] if int(name) < len(body) else None
        else:
            body = body.get(name) if isinstance(body, Mapping) else None
    return body


def put_at(body: dict[str, Json], path: tuple[str, ...], value: Json) -> None:
    """Puts a value at a path of a body; None takes it away."""
    for name in path[:-1]:
        body = body.setdefault(name, {})
    if value is None:
        body.pop(path[-1], None)
    else:
        body[path[-1]] = value


def _of_class(
    cls: type, path: tuple[str, ...], before: str, left_out: frozenset[str]
) -> Iterator[PlainField]:
    hints = typing.get_type_hints(cls)
    for field in dataclasses.fields(cls):
        name, base = json_name(field.name), _base(hints[field.name])
        if name in left_out:
            continue
        label = f"{before}{LABELS[name].lower()}" if before else LABELS[name]
        if isinstance(base, type) and dataclasses.is_dataclass(base):
            yield from _of_class(base, (*path, name), f"{label}, ", left_out)
            continue
        is_required = field.default is dataclasses.MISSING
        yield _field(base, (*path, name), label, required=is_required)


def _field(base: Any, path: tuple[str, ...], label: str, *, required: bool) -> PlainField:
    name = path[-1]
    shape, item = _shape(base, name), _item(base)
    is_enum = shape is Shape.CHOICE
    return PlainField(
        path=path,
        label=label,
        unit=unit_of(name) if shape in (Shape.NUMBER, Shape.NUMBERS) else "",
        shape=shape,
        required=required,
        options=tuple(word.value for word in base) if is_enum else (),
        columns=tuple(_of_class(item, (), "", frozenset())) if shape is Shape.ROWS else (),
        figures=len(typing.get_args(item)) if shape is Shape.POINTS else 0,
    )


_SHAPES: Mapping[Any, Shape] = {
    bool: Shape.YES_NO,
    int: Shape.COUNT,
    float: Shape.NUMBER,
    datetime: Shape.MOMENT,
    date: Shape.DAY,
}


def _shape(base: Any, name: str) -> Shape:
    if base in _SHAPES:
        return _SHAPES[base]
    if isinstance(base, type) and issubclass(base, StrEnum):
        return Shape.CHOICE
    item = _item(base)
    if item is None:
        return Shape.LONG_TEXT if name in _LONG else Shape.TEXT
    if dataclasses.is_dataclass(item):
        return Shape.ROWS
    inner = _item(item)
    if inner is None:
        return Shape.NUMBERS if item is float else Shape.WORDS
    return Shape.POINTS if inner is float else Shape.RINGS


def _item(hint: Any) -> Any:
    """What a tuple holds, or None for what is no tuple."""
    return _base(typing.get_args(hint)[0]) if typing.get_origin(hint) is tuple else None


def _base(hint: Any) -> Any:
    """A type without “or nothing” and “or withheld”."""
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        parts = [part for part in typing.get_args(hint) if part not in (type(None), Withheld)]
        return _base(parts[0])
    return hint

"""Marks that somebody draws upon a photograph: kept as data, beside the untouched original.

A point is a share of the picture's width and of its height, once the picture is upright, so that
the same marks hold for every copy whatever its size.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from qa.record import fields
from qa.record.schema import Body, object_reader

MOST_MARKS = 50
LONGEST_WORDS = 200
LONGEST_LENGTH_MM = 1_000_000
SHORTEST = 0.001
"""Share of the picture below which a line is a point: one or two pixels on a screen."""


def line(longest: int) -> fields.Reader:
    """A reader of free text on one line, of at most `longest` characters."""

    def read(value: fields.Json) -> str:
        if type(value) is str and len(value) > longest:
            raise fields.Fault(f"has {len(value)} characters; it has room for {longest}")
        words = fields.text(value)
        if words.splitlines() != [words]:
            raise fields.Fault("has several lines; write it on one")
        return words

    return read


_SHARE = fields.number(
    0, 1, reason="a point lies in the picture: 0 is its left or upper edge, 1 the right or lower"
)


def picture_point(value: fields.Json) -> tuple[float, float]:
    """A point of a picture: shares of its width, from the left, and of its height, from the top."""
    if type(value) is not list or len(value) != 2:
        raise fields.Fault(
            f"is {fields.shown(value)}; a point of a picture is a list [across, down] from 0 to 1"
        )
    return _SHARE(value[0]), _SHARE(value[1])


Point = tuple[float, float]
"""From the left edge, then from the top, each from 0 to 1."""
Words = Annotated[str, line(LONGEST_WORDS)]
LengthMm = Annotated[
    float,
    fields.number(
        0,
        LONGEST_LENGTH_MM,
        above=True,
        reason="a length in a picture is more than nothing and at most 1 km, in mm",
    ),
]


class MarkType(StrEnum):
    """What a mark is; a reference is a line of known length that measures are reckoned from."""

    ARROW = "arrow"
    CIRCLE = "circle"
    TEXT = "text"
    MEASURE = "measure"
    REFERENCE = "reference"

    @property
    def has_length(self) -> bool:
        """Whether such a mark may carry a length."""
        return self in (MarkType.MEASURE, MarkType.REFERENCE)

    @property
    def points(self) -> int:
        """How many points it has; a circle lies between two opposite corners of its frame."""
        return 1 if self is MarkType.TEXT else 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark(Body):
    """One mark.

    Attributes:
        points: an arrow's tail and head, two corners round a circle, both ends of a line, or where
            words stand.
        length_mm: as measured on the roof; a measure without it follows from the reference.
    """

    type: Annotated[MarkType, fields.choice(MarkType)]
    points: Annotated[tuple[Point, ...], fields.some(picture_point, what="point")]
    words: Words | None = None
    length_mm: LengthMm | None = None

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses what no mark of its type can be."""
        wanted = self.type.points
        if len(self.points) != wanted:
            counted = "one point" if wanted == 1 else f"{wanted} points"
            yield ".points", f"has {len(self.points)} points; a mark “{self.type}” has {counted}"
        elif self._is_nothing():
            yield ".points", f"begins and ends in one place; draw the mark “{self.type}” longer"
        if self.type is MarkType.TEXT and self.words is None:
            yield ".words", "is missing; a mark “text” is nothing but its words"
        if self.length_mm is not None and not self.type.has_length:
            yield ".length_mm", f"does not belong to a mark “{self.type}”; leave it out"
        if self.type is MarkType.REFERENCE and self.length_mm is None:
            yield ".length_mm", "is missing; a reference is a line whose length is known"

    def _is_nothing(self) -> bool:
        if self.type is MarkType.TEXT:
            return False
        (left, top), (right, bottom) = self.points
        across, down = abs(right - left), abs(bottom - top)
        span = min(across, down) if self.type is MarkType.CIRCLE else max(across, down)
        return span < SHORTEST


@dataclass(frozen=True, slots=True, kw_only=True)
class Annotation(Body):
    """The body of kind `annotation`: the marks that one person drew upon one photograph.

    Attributes:
        photo: id of the photograph's entry.
        marks: in the order of drawing; none where they were taken away again.
    """

    photo: Annotated[str, fields.uuid]
    marks: Annotated[
        tuple[Mark, ...],
        fields.some(object_reader(Mark), least=0, most=MOST_MARKS, what="mark"),
    ]

    @property
    def reference(self) -> Mark | None:
        """The line of known length, or None."""
        return next((mark for mark in self.marks if mark.type is MarkType.REFERENCE), None)

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses measures whose length follows from nothing, and from more than one thing."""
        references = [mark.type for mark in self.marks].count(MarkType.REFERENCE)
        if references > 1:
            yield ".marks", f"has {references} references; lengths follow from one, keep that"
        for number, mark in enumerate(self.marks):
            has_none = mark.type is MarkType.MEASURE and mark.length_mm is None and not references
            if has_none:
                yield (
                    f".marks[{number}].length_mm",
                    "is missing; give the length, or draw a reference whose length is known",
                )

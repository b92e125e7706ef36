"""Outlines from the lengths that a person tapes: a rectangle, an L, or a walk round the roof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import cos, hypot, radians, sin

from qa.trade.domain import require_positive
from qa.trade.segments import Point

CLOSED_M = 0.02
"""A walk that ends so near to its beginning has come round; m. Project choice."""

_WHOLE_MM = 4
"""Decimals of a metre to which corners are kept, so that a right angle leaves no false digits."""


class Corner(StrEnum):
    """The corner of the whole rectangle that an L leaves out, seen from the first side."""

    NEAR_LEFT = "near_left"
    NEAR_RIGHT = "near_right"
    FAR_RIGHT = "far_right"
    FAR_LEFT = "far_left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """One side of a walk round the roof.

    Attributes:
        length_m: of the side, m.
        turn_deg: at its end, degrees, left positive.
    """

    length_m: float
    turn_deg: float


def rectangle_m(*, length_m: float, width_m: float) -> tuple[Point, ...]:
    """Return the corners of a rectangle, anticlockwise from the near left one.

    Args:
        length_m: along the first side, m, above nought.
        width_m: across it, m, above nought.

    Raises:
        DomainError: a length is not above nought.

    >>> rectangle_m(length_m=6, width_m=4)
    ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
    """
    require_positive("length of a rectangle, m", length_m)
    require_positive("width of a rectangle, m", width_m)
    return _rounded([(0, 0), (length_m, 0), (length_m, width_m), (0, width_m)])


def ell_m(
    *, length_m: float, width_m: float, out_length_m: float, out_width_m: float, out: Corner
) -> tuple[Point, ...]:
    """Return the corners of an L: a rectangle with one corner left out, anticlockwise.

    Nothing is said here about a corner larger than the rectangle: the outline crosses itself then,
    and `qa.trade.outline` says where.

    Args:
        length_m: of the whole rectangle along the first side, m, above nought.
        width_m: of the whole rectangle, m, above nought.
        out_length_m: of what is left out, along the first side, m, above nought.
        out_width_m: of what is left out, m, above nought.
        out: which corner is left out.

    Raises:
        DomainError: a length is not above nought.

    >>> ell_m(length_m=6, width_m=5, out_length_m=3, out_width_m=2, out=Corner.FAR_RIGHT)
    ((0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (3.0, 3.0), (3.0, 5.0), (0.0, 5.0))
    """
    require_positive("length left out, m", out_length_m)
    require_positive("width left out, m", out_width_m)
    whole = rectangle_m(length_m=length_m, width_m=width_m)
    along, across = length_m - out_length_m, width_m - out_width_m
    notch: dict[Corner, list[Point]] = {
        Corner.NEAR_LEFT: [(0, out_width_m), (out_length_m, out_width_m), (out_length_m, 0)],
        Corner.NEAR_RIGHT: [(along, 0), (along, out_width_m), (length_m, out_width_m)],
        Corner.FAR_RIGHT: [(length_m, across), (along, across), (along, width_m)],
        Corner.FAR_LEFT: [(out_length_m, width_m), (out_length_m, across), (0, across)],
    }
    at = tuple(Corner).index(out)
    return _rounded([*whole[:at], *notch[out], *whole[at + 1 :]])


def walk_m(paces: Sequence[Pace]) -> tuple[Point, ...]:
    """Return the corners of a walk that begins at nought and goes along x.

    The last side need not be walked: it runs from where the walk ends to where it began. A walk
    that has come round ends there.

    Args:
        paces: the sides in order.

    Raises:
        DomainError: a length is not above nought.

    >>> left = [Pace(length_m=6, turn_deg=90), Pace(length_m=4, turn_deg=90)]
    >>> walk_m([*left, Pace(length_m=6, turn_deg=90)])
    ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
    """
    x, y, heading_deg = 0.0, 0.0, 0.0
    points: list[Point] = [(x, y)]
    for pace in paces:
        require_positive("length of a side, m", pace.length_m)
        x += pace.length_m * cos(radians(heading_deg))
        y += pace.length_m * sin(radians(heading_deg))
        heading_deg += pace.turn_deg
        points.append((x, y))
    if len(points) > 1 and hypot(x, y) <= CLOSED_M:
        points.pop()
    return _rounded(points)


def _rounded(points: Sequence[Point]) -> tuple[Point, ...]:
    # Nought is added so that no corner lies at −0.
    return tuple((round(x, _WHOLE_MM) + 0.0, round(y, _WHOLE_MM) + 0.0) for x, y in points)

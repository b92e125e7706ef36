"""Straight edges in the plane: which way they turn, and where two of them meet.

The turn is exact for the coordinates given, so whether an outline crosses itself never hangs on
rounding. Only the coordinates of a crossing point, which people read, are rounded.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

Point = tuple[float, float]
"""A place as (x, y), m."""

_TURN_ERROR = 4e-16
"""Bound on the relative rounding error of the turn in double precision, (3 + 16 e) e, rounded up.

Source: J. R. Shewchuk, Adaptive precision floating-point arithmetic, 1997 (from memory).
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One straight edge of a ring of corners, with the box round it.

    Attributes:
        start: where it begins.
        end: where it ends.
        ring: number of the ring that it belongs to.
        number: number of the edge in its ring, from 1.
    """

    start: Point
    end: Point
    ring: int
    number: int
    low_x: float = field(init=False, repr=False)
    high_x: float = field(init=False, repr=False)
    low_y: float = field(init=False, repr=False)
    high_y: float = field(init=False, repr=False)

    def __post_init__(self) -> None:
        (start_x, start_y), (end_x, end_y) = self.start, self.end
        object.__setattr__(self, "low_x", min(start_x, end_x))
        object.__setattr__(self, "high_x", max(start_x, end_x))
        object.__setattr__(self, "low_y", min(start_y, end_y))
        object.__setattr__(self, "high_y", max(start_y, end_y))

    def boxes(self, point: Point) -> bool:
        """Return whether a point lies in the box round the edge."""
        x, y = point
        return self.low_x <= x <= self.high_x and self.low_y <= y <= self.high_y


def edges_of(corners: tuple[Point, ...], *, ring: int = 0) -> Iterator[Edge]:
    """Yield the edges of a ring of corners, the closing edge last.

    >>> [edge.end for edge in edges_of(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0)))]
    [(4.0, 0.0), (4.0, 3.0), (0.0, 0.0)]
    """
    closed = (*corners, corners[0])
    for number, (start, end) in enumerate(pairwise(closed), start=1):
        yield Edge(start=start, end=end, ring=ring, number=number)


def turn(start: Point, corner: Point, end: Point) -> int:
    """Return which way the path over three points turns.

    The sign of (corner - start) x (end - start), exactly: where double precision cannot tell,
    the same product is formed in fractions.

    Returns:
        1 to the left, -1 to the right, 0 straight on or straight back.

    >>> turn((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), turn((0.0, 0.0), (0.1, 0.1), (0.3, 0.3))
    (1, 0)
    """
    (start_x, start_y), (corner_x, corner_y), (end_x, end_y) = start, corner, end
    left = (corner_x - start_x) * (end_y - start_y)
    right = (corner_y - start_y) * (end_x - start_x)
    twice_area = left - right
    if abs(twice_area) > _TURN_ERROR * (abs(left) + abs(right)):
        return 1 if twice_area > 0.0 else -1
    x, y = Fraction(start_x), Fraction(start_y)
    exact = (Fraction(corner_x) - x) * (Fraction(end_y) - y)
    exact -= (Fraction(corner_y) - y) * (Fraction(end_x) - x)
    return (exact > 0) - (exact < 0)


def meeting_point(one: Edge, other: Edge) -> Point | None:
    """Return a point that two edges share, ends included, or None.

    >>> rising = Edge(start=(0.0, 0.0), end=(2.0, 2.0), ring=0, number=1)
    >>> falling = Edge(start=(0.0, 2.0), end=(2.0, 0.0), ring=0, number=3)
    >>> meeting_point(rising, falling)
    (1.0, 1.0)
    """
    to_start = turn(one.start, one.end, other.start)
    to_end = turn(one.start, one.end, other.end)
    from_start = turn(other.start, other.end, one.start)
    from_end = turn(other.start, other.end, one.end)
    if to_start * to_end < 0 and from_start * from_end < 0:
        return _crossing(one, other)
    touches = (
        (to_start, one, other.start),
        (to_end, one, other.end),
        (from_start, other, one.start),
        (from_end, other, one.end),
    )
    for side, edge, point in touches:
        if side == 0 and edge.boxes(point):
            return point
    return None


def folds_back(one: Edge, following: Edge) -> bool:
    """Return whether an edge runs straight back along the edge before it.

    >>> out = Edge(start=(0.0, 0.0), end=(4.0, 0.0), ring=0, number=1)
    >>> back = Edge(start=(4.0, 0.0), end=(2.0, 0.0), ring=0, number=2)
    >>> folds_back(out, back)
    True
    """
    if turn(one.start, one.end, following.end) != 0:
        return False
    return one.boxes(following.end) or following.boxes(one.start)


def neighbouring_boxes(edges: Iterable[Edge]) -> Iterator[tuple[Edge, Edge]]:
    """Yield every pair of edges whose boxes meet, each pair once.

    A sweep from left to right: an edge is compared only with those that begin before it ends.
    """
    by_start = sorted(edges, key=lambda edge: edge.low_x)
    for place, edge in enumerate(by_start):
        high_x, low_y, high_y = edge.high_x, edge.low_y, edge.high_y
        for following in range(place + 1, len(by_start)):
            other = by_start[following]
            if other.low_x > high_x:
                break
            if other.low_y <= high_y and low_y <= other.high_y:
                yield edge, other


def _crossing(one: Edge, other: Edge) -> Point:
    (x, y), (end_x, end_y) = one.start, one.end
    along_x, along_y = end_x - x, end_y - y
    across_x, across_y = other.end[0] - other.start[0], other.end[1] - other.start[1]
    apart_x, apart_y = other.start[0] - x, other.start[1] - y
    share = (apart_x * across_y - apart_y * across_x) / (along_x * across_y - along_y * across_x)
    return x + share * along_x, y + share * along_y

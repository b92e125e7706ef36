"""Rings of corners cut along lines, turned about a point, and crossed by lines.

What strips, bays, boards and joists have in common. A ring is the bare corners of an outline; one
that was cut may have parts that run to and fro along the cut, which bound nothing.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin

from qa.trade.segments import Point

Ring = tuple[Point, ...]
"""The corners of a closed line, the last joined to the first, m."""

Run = tuple[float, float]
"""A stretch of a line, from and to, m along it."""


def cut_ring(ring: Ring, *, axis: int, at_m: float) -> tuple[Ring, Ring]:
    """Return what of a ring lies below and above a line across an axis.

    Parts of a concave ring stay joined along the line, where they add no area.

    Args:
        ring: the corners, m; none give none.
        axis: 0 for a line of one x, 1 for a line of one y.
        at_m: where the line crosses the axis, m.

    Source: Sutherland and Hodgman's clipping against one half-plane, done for both sides.

    >>> cut_ring(((0, 0), (4, 0), (4, 2), (0, 2)), axis=0, at_m=1.0)[0]
    ((0, 0), (1.0, 0.0), (1.0, 2.0), (0, 2))
    """
    places = [point[axis] for point in ring]
    if not places or max(places) <= at_m:
        return ring, ()
    if min(places) >= at_m:
        return (), ring
    below: list[Point] = []
    above: list[Point] = []
    for index, point in enumerate(ring):
        before = ring[index - 1]
        side, side_before = point[axis] - at_m, before[axis] - at_m
        if side * side_before < 0.0:
            crossing = _on_line(before, point, axis=axis, at_m=at_m)
            below.append(crossing)
            above.append(crossing)
        if side <= 0.0:
            below.append(point)
        if side >= 0.0:
            above.append(point)
    return tuple(below), tuple(above)


def _on_line(start: Point, end: Point, *, axis: int, at_m: float) -> Point:
    share = (at_m - start[axis]) / (end[axis] - start[axis])
    if axis == 0:
        return at_m, start[1] + share * (end[1] - start[1])
    return start[0] + share * (end[0] - start[0]), at_m


def cut_rings(rings: tuple[Ring, ...], *, axis: int, at_m: float) -> tuple[tuple[Ring, ...], ...]:
    """Return what of several rings lies below and above a line, without those that lie elsewhere.

    Args:
        rings: the rings, such as an outline and its openings.
        axis: 0 for a line of one x, 1 for a line of one y.
        at_m: where the line crosses the axis, m.

    >>> square, far = ((0, 0), (1, 0), (1, 1), (0, 1)), ((5, 0), (6, 0), (6, 1), (5, 1))
    >>> below, above = cut_rings((square, far), axis=0, at_m=2.0)
    >>> len(below), len(above)
    (1, 1)
    """
    pieces = [cut_ring(ring, axis=axis, at_m=at_m) for ring in rings]
    return (
        tuple(below for below, _ in pieces if below),
        tuple(above for _, above in pieces if above),
    )


def turned(ring: Ring, *, angle_deg: float, about_m: Point) -> Ring:
    """Return a ring turned about a point.

    x' = x0 + dx cos a - dy sin a, y' = y0 + dx sin a + dy cos a. A turn by 0 changes no digit.

    Args:
        ring: the corners, m.
        angle_deg: the angle, degrees, anticlockwise.
        about_m: the point that stays, m.

    Source: rotation in the plane.

    >>> turned(((3.0, 0.0),), angle_deg=90.0, about_m=(1.0, 0.0))
    ((1.0000000000000002, 2.0),)
    """
    if angle_deg == 0.0:
        return ring
    cosine, sine = cos(radians(angle_deg)), sin(radians(angle_deg))
    pivot_x, pivot_y = about_m
    return tuple(
        (
            pivot_x + (x - pivot_x) * cosine - (y - pivot_y) * sine,
            pivot_y + (x - pivot_x) * sine + (y - pivot_y) * cosine,
        )
        for x, y in ring
    )


def chords(rings: tuple[Ring, ...], *, axis: int, at_m: float) -> tuple[Run, ...]:
    """Return the stretches of a line that lie inside an outline and outside its openings.

    A line that runs along an edge is taken a hair above it, so that no stretch counts twice.

    Args:
        rings: the outline and its openings, in any order, m.
        axis: 0 for a line of one x, 1 for a line of one y.
        at_m: where the line crosses the axis, m.

    Source: parity of the edges crossed.

    >>> deck, light = ((0, 0), (6, 0), (6, 4), (0, 4)), ((2, 1), (3, 1), (3, 2), (2, 2))
    >>> chords((deck, light), axis=1, at_m=1.5)
    ((0.0, 2.0), (3.0, 6.0))
    """
    other = 1 - axis
    crossings = sorted(
        _on_line(start, end, axis=axis, at_m=at_m)[other]
        for ring in rings
        for start, end in pairwise((*ring, ring[0]))
        if (start[axis] > at_m) != (end[axis] > at_m)
    )
    pairs = zip(crossings[::2], crossings[1::2], strict=True)
    return tuple((low, high) for low, high in pairs if high > low)

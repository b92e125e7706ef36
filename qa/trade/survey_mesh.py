"""Triangles over a survey, and the corners that make them follow the edges of a roof.

Whole micrometres from the first level are used for every question of side, so decimal coordinates
are exact. Heights of added corners are those of the triangle that the edge crosses there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import hypot

from qa.errors import DomainError
from qa.trade.segments import Point
from qa.trade.survey import Level, at_one_place, in_one_line
from qa.trade.triangulation import BEYOND, Place, Triangulation

_UM_PER_M = 1_000_000
_SHORTEST_UM = 1_000
"""An edge of the roof is followed to the millimetre: shorter pieces are not split again."""

_MOST_ROUNDS = 20
"""Halving so often takes a kilometre to the millimetre; two or three times is the rule."""


class SurveyMesh:
    """Delaunay's triangles over levels, which grow corners along the roof's edges.

    Args:
        levels_m: three levels (x, y, z) or more, m, finite.

    Raises:
        DomainError: two levels at one place, or all in one line.
    """

    def __init__(self, levels_m: Sequence[Level]) -> None:
        self._first = round(levels_m[0][0] * _UM_PER_M), round(levels_m[0][1] * _UM_PER_M)
        self._corners: list[Level] = [(0.0, 0.0, 0.0), *levels_m]
        places = [self._place((x, y)) for x, y, _ in levels_m]
        self._at: dict[Place, int] = {}
        for number, place in enumerate(places, start=1):
            first = self._at.setdefault(place, number)
            if first != number:
                raise at_one_place(levels_m, first - 1, number - 1)
        try:
            self._mesh = Triangulation(places)
        except DomainError as refused:
            raise in_one_line(levels_m) from refused
        # Corners added on the hull cannot move it, so it is the same for every ring.
        self._hull = tuple(self._mesh.hull())

    def corners_m(self) -> tuple[Level, ...]:
        """Return the levels in their order, then the corners added, m."""
        return tuple(self._corners[1:])

    def triangles(self) -> tuple[tuple[int, int, int], ...]:
        """Return all triangles, as places in `corners_m`, from 0, anticlockwise."""
        return tuple((a - 1, b - 1, c - 1) for a, b, c in self._mesh.triangles())

    def follow(self, rings_m: Iterable[Sequence[Point]]) -> None:
        """Add corners until all rings' edges run along triangles, as far as the levels reach.

        Each edge is first split where it crosses triangles, so that the surface is straight along
        every part. A corner added for one part may turn a triangle away from another; such parts
        are halved, round by round, until none is left.
        """
        edges = [edge for ring in rings_m for edge in self._edges_within_hull(ring)]
        parts = [part for edge in edges for part in self._parts(*edge)]
        for _ in range(_MOST_ROUNDS):
            count = len(self._corners)
            parts = [half for part in parts for half in self._halves(*part)]
            if len(self._corners) == count:
                break

    def _edges_within_hull(self, points_m: Sequence[Point]) -> Iterator[tuple[int, int]]:
        places = [self._place(point) for point in points_m]
        for start, end in pairwise((*places, places[0])):
            reached = self._within_hull(start, end)
            if reached is not None and reached[0] != reached[1]:
                yield self._corner_at(reached[0]), self._corner_at(reached[1])

    def _place(self, point_m: Point) -> Place:
        x, y = round(point_m[0] * _UM_PER_M), round(point_m[1] * _UM_PER_M)
        return x - self._first[0], y - self._first[1]

    def _within_hull(self, start: Place, end: Place) -> tuple[Place, Place] | None:
        """Return the part of an edge inside the hull of the levels, or None.

        Source: M. Cyrus and J. Beck, Computers and Graphics 3 (1978), from memory.
        """
        (x, y), along_x, along_y = start, end[0] - start[0], end[1] - start[1]
        first, last = 0.0, 1.0
        for one, other in self._hull:
            (one_x, one_y), (other_x, other_y) = self._mesh.place(one), self._mesh.place(other)
            hull_x, hull_y = other_x - one_x, other_y - one_y
            inside = hull_x * (y - one_y) - hull_y * (x - one_x)
            gain = hull_x * along_y - hull_y * along_x
            if gain > 0:
                first = max(first, -inside / gain)
            elif gain < 0:
                last = min(last, -inside / gain)
            elif inside < 0:
                return None
        if first >= last:
            return None
        return (
            (round(x + first * along_x), round(y + first * along_y)) if first > 0.0 else start,
            (round(x + last * along_x), round(y + last * along_y)) if last < 1.0 else end,
        )

    def _corner_at(self, place: Place) -> int:
        """Return the corner at a place; a new one takes the height of the surface there."""
        known = self._at.get(place)
        if known is not None:
            return known
        x, y = self._point_m(place)
        return self._add(place, self._height_m(self._mesh.locate(place), x, y))

    def _add(self, place: Place, height_m: float) -> int:
        self._corners.append((*self._point_m(place), height_m))
        self._at[place] = self._mesh.add(place)
        return self._at[place]

    def _point_m(self, place: Place) -> Point:
        return (place[0] + self._first[0]) / _UM_PER_M, (place[1] + self._first[1]) / _UM_PER_M

    def _height_m(self, corners: tuple[int, int, int], x: float, y: float) -> float:
        """Return the height at a place of a triangle, or next to an edge of the hull."""
        (ax, ay, az), (bx, by, bz) = self._corners[corners[0]], self._corners[corners[1]]
        bx, by, px, py = bx - ax, by - ay, x - ax, y - ay
        if corners[2] == BEYOND:
            share = (px * bx + py * by) / (bx * bx + by * by)
            return az + min(1.0, max(0.0, share)) * (bz - az)
        cx, cy, cz = self._corners[corners[2]]
        cx, cy = cx - ax, cy - ay
        share_b, share_c = px * cy - py * cx, bx * py - by * px
        return az + (share_b * (bz - az) + share_c * (cz - az)) / (bx * cy - by * cx)

    def _parts(self, start: int, end: int) -> list[tuple[int, int]]:
        """Split an edge where it crosses a triangle's, until all of its parts are edges."""
        parts = []
        pieces = [(start, end)]
        while pieces:
            start, end = pieces.pop()
            ahead = self._ahead(start, end)
            is_new = ahead not in self._at
            corner = self._corner_at(ahead)
            if corner != end:
                pieces.append((corner, end))
            if is_new and self._apart_um(start, corner) > _SHORTEST_UM:
                pieces.append((start, corner))
            else:
                parts.append((start, corner))
        return parts

    def _halves(self, start: int, end: int) -> list[tuple[int, int]]:
        """Halve a part that is no edge any more, unless it is shorter than a millimetre."""
        if self._mesh.has_edge(start, end) or self._apart_um(start, end) <= _SHORTEST_UM:
            return [(start, end)]
        (x, y), (end_x, end_y) = self._mesh.place(start), self._mesh.place(end)
        place = (x + end_x) // 2, (y + end_y) // 2
        middle = self._at.get(place)
        if middle is None:
            middle = self._add(place, (self._corners[start][2] + self._corners[end][2]) / 2.0)
        return [(start, middle), (middle, end)]

    def _ahead(self, start: int, end: int) -> Place:
        """Return where an edge meets something first: a corner, a triangle's edge, or its end.

        Where that is nearer than a millimetre, the place a millimetre on: short pieces are not
        split again, so the splitting ends.
        """
        (x, y), (end_x, end_y) = self._mesh.place(start), self._mesh.place(end)
        along_x, along_y = end_x - x, end_y - y
        for right, left in self._mesh.star(start):
            if right == BEYOND:
                continue
            right_x, right_y = self._mesh.place(right)
            right_x, right_y = right_x - x, right_y - y
            right_side = along_x * right_y - along_y * right_x
            if right_side == 0 and along_x * right_x + along_y * right_y > 0:
                return right_x + x, right_y + y
            if left == BEYOND or right_side >= 0:
                continue
            left_x, left_y = self._mesh.place(left)
            left_side = along_x * (left_y - y) - along_y * (left_x - x)
            if left_side <= 0:
                continue
            share = right_side / (right_side - left_side)
            ahead_x = right_x + share * (left_x - x - right_x)
            ahead_y = right_y + share * (left_y - y - right_y)
            far_um = hypot(ahead_x, ahead_y)
            if ahead_x * along_x + ahead_y * along_y > 0.0 and far_um >= _SHORTEST_UM:
                return x + round(ahead_x), y + round(ahead_y)
        return self._a_little_on(start, end)

    def _a_little_on(self, start: int, end: int) -> Place:
        (x, y), (end_x, end_y) = self._mesh.place(start), self._mesh.place(end)
        share = min(1.0, _SHORTEST_UM / self._apart_um(start, end))
        return x + round(share * (end_x - x)), y + round(share * (end_y - y))

    def _apart_um(self, one: int, other: int) -> float:
        (x, y), (other_x, other_y) = self._mesh.place(one), self._mesh.place(other)
        return hypot(other_x - x, other_y - y)

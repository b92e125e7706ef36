"""Outline of a roof area in plan, its openings and its slope.

A value that exists is sound: an outline bounds one area without touching itself, openings lie
inside it and apart from one another. Anything else is refused with the place of the fault.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, fsum, hypot, radians

from qa.errors import DomainError, OutlineError
from qa.trade.segments import (
    Edge,
    Point,
    edges_of,
    folds_back,
    meeting_point,
    neighbouring_boxes,
    turn,
)

FARTHEST_M = 1e8
"""Farthest coordinate taken for a place: above every map grid's, and safe to square. m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """The upright rectangle round an outline, m."""

    low_x_m: float
    low_y_m: float
    high_x_m: float
    high_y_m: float

    @property
    def length_m(self) -> float:
        """Extent along x, m."""
        return self.high_x_m - self.low_x_m

    @property
    def height_m(self) -> float:
        """Extent along y, m."""
        return self.high_y_m - self.low_y_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A closed line of straight edges that bounds one area.

    Attributes:
        points_m: the corners in order, either way round, m; the last joins the first.

    Raises:
        OutlineError: fewer than three corners, a corner that is not a place, an edge without
            length, or an outline that crosses, touches or folds back on itself; `point_m` says
            where.

    >>> Outline(points_m=((0, 0), (2, 2), (2, 0), (0, 2)))  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    qa.errors.OutlineError: Edges 1 and 3 of the outline meet at (1.000, 1.000) m; ...
    """

    points_m: tuple[Point, ...]

    def __post_init__(self) -> None:
        for number, point in enumerate(self.points_m, start=1):
            if not (abs(point[0]) <= FARTHEST_M and abs(point[1]) <= FARTHEST_M):
                sentence = f"Corner {number} of the outline is {point}, which is no place; "
                raise OutlineError(f"{sentence}give x and y in metres.")
        if len(set(self.points_m)) < 3:
            count = len(set(self.points_m))
            raise OutlineError(f"An outline needs three corners or more; this one has {count}.")
        edges = tuple(edges_of(self.points_m))
        for edge in edges:
            _require_length(edge, of=len(edges))
        for one, other in neighbouring_boxes(edges):
            _require_apart(one, other, of=len(edges))

    @property
    def edge_lengths_m(self) -> tuple[float, ...]:
        """Length of each edge in plan, m; edge 1 runs from the first corner to the second."""
        return tuple(
            hypot(edge.end[0] - edge.start[0], edge.end[1] - edge.start[1])
            for edge in edges_of(self.points_m)
        )

    @property
    def perimeter_m(self) -> float:
        """Sum of the edges' lengths in plan, m.

        >>> Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5))).perimeter_m
        22.0
        """
        return fsum(self.edge_lengths_m)

    @property
    def area_m2(self) -> float:
        """Area in plan, m².

        Source: shoelace formula, about the first corner.

        >>> Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5))).area_m2
        21.0
        """
        return ring_area_m2(self.points_m)

    @property
    def bounds_m(self) -> Bounds:
        """The upright rectangle round the outline, m."""
        xs = [x for x, _ in self.points_m]
        ys = [y for _, y in self.points_m]
        return Bounds(low_x_m=min(xs), low_y_m=min(ys), high_x_m=max(xs), high_y_m=max(ys))

    def contains(self, point_m: Point) -> bool:
        """Return whether a point that is not on an edge lies inside.

        Source: parity of the edges crossed by a ray along x.

        >>> Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5))).contains((4, 3))
        False
        """
        inside = False
        for edge in edges_of(self.points_m):
            rises = edge.end[1] > point_m[1]
            if rises != (edge.start[1] > point_m[1]):
                on_the_left = turn(edge.start, edge.end, point_m) > 0
                inside ^= on_the_left == rises
        return inside


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofArea:
    """One area of the roof: an outline, the openings in it, and its slope.

    Attributes:
        outline: the outer outline, in plan.
        openings: outlines of rooflights, chimneys and the like, inside and apart.
        slope_deg: slope of the whole area, degrees, 0 or more and below 90.

    Raises:
        DomainError: the slope lies outside its range.
        OutlineError: an opening lies outside, touches the outline, or meets another opening.
    """

    outline: Outline
    openings: tuple[Outline, ...] = ()
    slope_deg: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.slope_deg < 90.0:
            raise DomainError("slope, degrees", self.slope_deg, "0 or more and below 90")
        if self.openings:
            _require_rings_apart((self.outline, *self.openings))
            _require_openings_inside(self.outline, self.openings)

    @property
    def slope_factor(self) -> float:
        """Area on the slope over area in plan: 1 / cos(slope)."""
        return 1.0 / cos(radians(self.slope_deg))

    @property
    def plan_area_m2(self) -> float:
        """Area inside the outline in plan, openings not deducted, m²."""
        return self.outline.area_m2

    @property
    def net_area_m2(self) -> float:
        """Area to be laid: on the slope, openings deducted, m².

        >>> deck = Outline(points_m=((0, 0), (5, 0), (5, 4), (0, 4)))
        >>> rooflight = Outline(points_m=((1, 1), (2, 1), (2, 2.2), (1, 2.2)))
        >>> round(RoofArea(outline=deck, openings=(rooflight,)).net_area_m2, 9)
        18.8
        """
        openings_m2 = fsum(opening.area_m2 for opening in self.openings)
        return (self.outline.area_m2 - openings_m2) * self.slope_factor

    @property
    def perimeter_m(self) -> float:
        """Length of the outer outline in plan, m."""
        return self.outline.perimeter_m

    @property
    def opening_edge_m(self) -> float:
        """Length of all edges of openings in plan, m."""
        return fsum(opening.perimeter_m for opening in self.openings)


def ring_area_m2(points_m: tuple[Point, ...]) -> float:
    """Return the area that a ring of corners bounds.

    Taken about the first corner, so that coordinates far from the origin lose no digits. Edges
    that run to and fro along one line, as clipping leaves them, add nothing.

    Args:
        points_m: the corners in order, m; none give 0.

    Source: shoelace formula.

    >>> ring_area_m2(((1e7, 1e7), (1e7 + 4, 1e7), (1e7 + 4, 1e7 + 3)))
    6.0
    """
    if not points_m:
        return 0.0
    origin_x, origin_y = points_m[0]
    return abs(
        fsum(
            (start[0] - origin_x) * (end[1] - origin_y)
            - (end[0] - origin_x) * (start[1] - origin_y)
            for start, end in pairwise((*points_m, points_m[0]))
        )
        / 2.0
    )


def _require_length(edge: Edge, *, of: int) -> None:
    if edge.start == edge.end:
        first = f"corner {edge.number}"
        second = f"corner {edge.number % of + 1}"
        sentence = f"{first.capitalize()} and {second} of the outline are the same place, "
        sentence += f"{_place(edge.start)}; leave one of them out."
        raise OutlineError(sentence, edge.start)


def _require_apart(one: Edge, other: Edge, *, of: int) -> None:
    first, second = sorted((one, other), key=lambda edge: edge.number)
    if second.number - first.number == 1:
        point = first.end if folds_back(first, second) else None
    elif second.number - first.number == of - 1:
        point = first.start if folds_back(second, first) else None
    else:
        point = meeting_point(first, second)
    if point is not None:
        sentence = f"Edges {first.number} and {second.number} of the outline meet at "
        sentence += f"{_place(point)}; give the corners in the order in which they follow "
        sentence += "one another round the roof."
        raise OutlineError(sentence, point)


def _require_rings_apart(rings: tuple[Outline, ...]) -> None:
    edges = [
        edge for ring, outline in enumerate(rings) for edge in edges_of(outline.points_m, ring=ring)
    ]
    for one, other in neighbouring_boxes(edges):
        point = None if one.ring == other.ring else meeting_point(one, other)
        if point is None:
            continue
        first, second = sorted((one.ring, other.ring))
        if first == 0:
            sentence = f"Opening {second} meets the outline at {_place(point)}; "
            sentence += "draw the outline round it instead."
        else:
            sentence = f"Openings {first} and {second} meet at {_place(point)}; "
            sentence += "draw them apart, or as one."
        raise OutlineError(sentence, point)


def _require_openings_inside(outline: Outline, openings: tuple[Outline, ...]) -> None:
    """Judge each opening by one corner: no two rings meet, so the rest follows."""
    for number, opening in enumerate(openings, start=1):
        corner = opening.points_m[0]
        if not outline.contains(corner):
            sentence = f"Opening {number} lies outside the outline, at {_place(corner)}."
            raise OutlineError(sentence, corner)
        for other_number, other in enumerate(openings, start=1):
            if other is not opening and other.contains(corner):
                sentence = f"Opening {number} lies inside opening {other_number}, at "
                sentence += f"{_place(corner)}; leave it out."
                raise OutlineError(sentence, corner)


def _place(point: Point) -> str:
    return f"({point[0]:.3f}, {point[1]:.3f}) m"

"""Surface of a roof from surveyed levels: flat triangles that keep to the outline.

The levels are joined by Delaunay's triangles. Where an edge of the outline or of an opening crosses
them, corners are added on that edge at the height of the triangle that it crosses, until the edge
runs along triangles; then those outside the roof are left out. Nothing is guessed beyond the
levels: what no triangle covers is reported as not surveyed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from qa.errors import DomainError
from qa.trade.outline import RoofArea
from qa.trade.segments import Edge, Point, edges_of
from qa.trade.survey import Level, require_levels
from qa.trade.survey_mesh import SurveyMesh

Triangle = tuple[int, int, int]
"""Three places in a surface's `levels_m`, from 0, anticlockwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """The top of a roof in flat triangles; `surface_over` makes it from a survey.

    Attributes:
        roof: the area in plan, with its openings.
        levels_m: the corners as (x, y, z), m: the surveyed levels in their order, then the
            corners added where edges of the roof cross the survey's triangles.
        triangles: the triangles inside the roof, as places in `levels_m`, anticlockwise.
        surveyed: how many of the corners are surveyed levels.

    Raises:
        DomainError: there is no triangle, or one names a corner that is not there.
    """

    roof: RoofArea
    levels_m: tuple[Level, ...]
    triangles: tuple[Triangle, ...]
    surveyed: int

    def __post_init__(self) -> None:
        if not self.triangles:
            raise DomainError("number of triangles on the roof", 0, "1 or more: survey the roof")
        highest = max(map(max, self.triangles))
        if highest >= len(self.levels_m) or min(map(min, self.triangles)) < 0:
            raise DomainError("corner of a triangle", highest, f"0 to {len(self.levels_m) - 1}")
        if not 0 <= self.surveyed <= len(self.levels_m):
            raise DomainError("number of levels", self.surveyed, f"0 to {len(self.levels_m)}")

    @property
    def covered_m2(self) -> float:
        """Area in plan that the triangles cover, m²."""
        return fsum(self.plan_areas_m2())

    @property
    def not_surveyed_m2(self) -> float:
        """Area of the roof in plan, openings deducted, that lies beyond the levels, m².

        Rounding at the micrometre may leave a few square millimetres; a negative rest is nought.
        """
        openings_m2 = fsum(opening.area_m2 for opening in self.roof.openings)
        return max(0.0, self.roof.plan_area_m2 - openings_m2 - self.covered_m2)

    def plan_areas_m2(self) -> tuple[float, ...]:
        """Return the area of each triangle in plan, m², in their order."""
        levels = self.levels_m
        areas = []
        for a, b, c in self.triangles:
            (ax, ay, _), (bx, by, _), (cx, cy, _) = levels[a], levels[b], levels[c]
            areas.append(((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) / 2.0)
        return tuple(areas)

    def height_m(self, point_m: Point) -> float | None:
        """Return the height of the surface at a place, m, or None beside it.

        >>> from qa.trade.outline import Outline
        >>> deck = Outline(points_m=((0, 0), (4, 0), (4, 3), (0, 3)))
        >>> levels = [(0, 0, 0.0), (4, 0, 0.05), (4, 3, 0.05), (0, 3, 0.0)]
        >>> surface_over(levels, RoofArea(outline=deck)).height_m((2.0, 1.0))
        0.025
        """
        triangle = self.triangle_at(point_m)
        return None if triangle is None else self.height_in(triangle, point_m)

    def height_in(self, triangle: Triangle, point_m: Point) -> float:
        """Return the height of the plane of a triangle at a place, m."""
        a, b, c = (self.levels_m[corner] for corner in triangle)
        share_b, share_c = _shares(a, b, c, point_m)
        return a[2] + share_b * (b[2] - a[2]) + share_c * (c[2] - a[2])

    def triangle_at(self, point_m: Point) -> Triangle | None:
        """Return a triangle that holds a place, its edges included, or None."""
        x, y = point_m
        levels = self.levels_m
        for triangle in self.triangles:
            a, b, c = levels[triangle[0]], levels[triangle[1]], levels[triangle[2]]
            if (a[0] < x > b[0] and x > c[0]) or (a[0] > x < b[0] and x < c[0]):
                continue
            if (a[1] < y > b[1] and y > c[1]) or (a[1] > y < b[1] and y < c[1]):
                continue
            share_b, share_c = _shares(a, b, c, point_m)
            if share_b >= -_ON_EDGE and share_c >= -_ON_EDGE and share_b + share_c <= 1 + _ON_EDGE:
                return triangle
        return None


_ROWS = 256
"""Rows into which the edges of a roof are sorted, so that few are looked at for each triangle."""

_ON_EDGE = 1e-9
"""Share of a triangle's height by which a place on its edge may seem to lie outside."""


def surface_over(levels_m: Sequence[Level], roof: RoofArea) -> Surface:
    """Return the surface of a roof from its surveyed levels.

    Places are taken to the nearest micrometre. Levels outside the outline or in an opening help
    to shape the triangles that cross the roof's edges; only what lies on the roof is kept.

    Args:
        levels_m: at least three levels (x, y, z), m, finite, at different places, not all in one
            line.
        roof: the area in plan and its openings; its slope is not used, the levels have it.

    Raises:
        DomainError: a figure is not finite, two levels share a place, there are fewer than
            three, all are in one line, or none of the area between them lies on the roof.

    Source: linear interpolation on Delaunay's triangles (conforming to the roof's edges).

    >>> from qa.trade.outline import Outline
    >>> deck = Outline(points_m=((0, 0), (4, 0), (4, 3), (0, 3)))
    >>> levels = [(0, 0, 0.0), (4, 0, 0.05), (4, 3, 0.05), (0, 3, 0.0), (2, 1, 0.01)]
    >>> surface = surface_over(levels, RoofArea(outline=deck))
    >>> len(surface.triangles), surface.covered_m2
    (4, 12.0)
    """
    require_levels(levels_m)
    mesh = SurveyMesh(levels_m)
    mesh.follow(ring.points_m for ring in (roof.outline, *roof.openings))
    corners = mesh.corners_m()
    return Surface(
        roof=roof,
        levels_m=corners,
        triangles=_on_roof(corners, mesh.triangles(), roof),
        surveyed=len(levels_m),
    )


def _on_roof(
    corners: tuple[Level, ...], triangles: tuple[Triangle, ...], roof: RoofArea
) -> tuple[Triangle, ...]:
    """Keep the triangles whose middle lies in the outline and in no opening.

    In all rings together, a ray from a place on the roof crosses an odd number of edges, for
    openings lie inside the outline and apart. Each ray looks only at the edges in its own row.
    """
    bounds = roof.outline.bounds_m
    rows_per_m = _ROWS / bounds.height_m
    rows: list[list[Edge]] = [[] for _ in range(_ROWS + 1)]
    for ring in (roof.outline, *roof.openings):
        for edge in edges_of(ring.points_m):
            first = int((edge.low_y - bounds.low_y_m) * rows_per_m)
            last = int((edge.high_y - bounds.low_y_m) * rows_per_m)
            for row in rows[first : last + 1]:
                row.append(edge)
    kept = []
    for triangle in triangles:
        a, b, c = corners[triangle[0]], corners[triangle[1]], corners[triangle[2]]
        x, y = (a[0] + b[0] + c[0]) / 3.0, (a[1] + b[1] + c[1]) / 3.0
        if bounds.low_y_m <= y <= bounds.high_y_m:
            row = rows[int((y - bounds.low_y_m) * rows_per_m)]
            if _crosses_odd(row, x, y):
                kept.append(triangle)
    return tuple(kept)


def _crosses_odd(edges: list[Edge], x: float, y: float) -> bool:
    """Return whether a ray to the left of a place crosses an odd number of edges."""
    odd = False
    for edge in edges:
        if edge.low_y <= y < edge.high_y and edge.low_x <= x:
            (start_x, start_y), (end_x, end_y) = edge.start, edge.end
            across = start_x + (y - start_y) * (end_x - start_x) / (end_y - start_y)
            odd ^= across <= x
    return odd


def _shares(a: Level, b: Level, c: Level, point_m: Point) -> tuple[float, float]:
    """Return how much of corner b and of corner c a place in a triangle takes."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    px, py = point_m[0] - a[0], point_m[1] - a[1]
    twice_area = bx * cy - by * cx
    return (px * cy - py * cx) / twice_area, (bx * py - by * px) / twice_area

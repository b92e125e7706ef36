"""The shape of standing water in plan, for a picture: a polygon for each triangle that it wets."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from qa.trade.hollow import DRY_M
from qa.trade.segments import Point
from qa.trade.surface import Surface
from qa.trade.survey import Level


def wet_pieces(surface: Surface, water_m: Sequence[float]) -> tuple[tuple[Point, ...], ...]:
    """Return what of each triangle lies under water, in plan.

    The water over a triangle is level: that of any of its wet corners. Where it meets the ground
    between two corners, the polygon has a corner; over a triangle all wet, it is the triangle.

    Args:
        surface: the roof's surface.
        water_m: level of the water at each corner, m; at a dry corner, its own height.

    Returns:
        Polygons (x, y), m, anticlockwise; together they are the hollows' area.

    >>> from qa.trade.outline import Outline, RoofArea
    >>> from qa.trade.surface import surface_over
    >>> deck = RoofArea(outline=Outline(points_m=((0, 0), (4, 0), (0, 4))))
    >>> surface = surface_over([(0, 0, 0.0), (4, 0, 0.5), (0, 4, 0.5)], deck)
    >>> wet_pieces(surface, [0.125, 0.5, 0.5])
    (((0, 0), (1.0, 0.0), (0.0, 1.0)),)
    """
    pieces = []
    for triangle in surface.triangles:
        corners = [surface.levels_m[corner] for corner in triangle]
        levels = [
            water_m[corner]
            for corner, (_, _, ground) in zip(triangle, corners, strict=True)
            if water_m[corner] - ground > DRY_M
        ]
        if levels:
            pieces.append(_below(corners, levels[0]))
    return tuple(pieces)


def _below(corners: Sequence[Level], level: float) -> tuple[Point, ...]:
    """Return the part of a triangle whose ground lies below a level."""
    points: list[Point] = []
    for one, other in pairwise((*corners, corners[0])):
        if one[2] < level:
            points.append(one[:2])
        if (one[2] < level) != (other[2] < level):
            share = (level - one[2]) / (other[2] - one[2])
            points.append(
                (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))
            )
    return tuple(points)

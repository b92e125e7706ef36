"""Outlines that several tests of the geometry share. All are invented."""

from __future__ import annotations

from math import cos, pi, radians, sin

import shapely
from hypothesis import strategies as st

from qa.trade.outline import Outline, RoofArea

L_SHAPE = Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5)))
ANGLES = st.floats(-180.0, 180.0)


def rectangle(length_m: float, height_m: float, *, angle_deg: float = 0.0) -> RoofArea:
    """A rectangle from the origin, turned about it."""
    corners = ((0.0, 0.0), (length_m, 0.0), (length_m, height_m), (0.0, height_m))
    return RoofArea(outline=Outline(points_m=tuple(turned(at, angle_deg) for at in corners)))


def turned(point: tuple[float, float], angle_deg: float) -> tuple[float, float]:
    cosine, sine = cos(radians(angle_deg)), sin(radians(angle_deg))
    return point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine


def turned_roof(roof: RoofArea, angle_deg: float) -> RoofArea:
    """The same roof seen from another side."""
    outline, *openings = (
        Outline(points_m=tuple(turned(at, angle_deg) for at in ring.points_m))
        for ring in (roof.outline, *roof.openings)
    )
    return RoofArea(outline=outline, openings=tuple(openings), slope_deg=roof.slope_deg)


def shape_of(roof: RoofArea) -> shapely.Polygon:
    return shapely.Polygon(roof.outline.points_m, [o.points_m for o in roof.openings])


@st.composite
def concave_roofs(draw: st.DrawFn) -> RoofArea:
    """A star-shaped outline, with an opening at its heart or without, on a slope."""
    radii = draw(st.lists(st.floats(1.0, 6.0), min_size=3, max_size=16))
    step = 2.0 * pi / len(radii)
    corners = tuple((r * cos(n * step), r * sin(n * step)) for n, r in enumerate(radii))
    opening = Outline(points_m=((0.2, 0.0), (0.0, 0.2), (-0.2, 0.0), (0.0, -0.2)))
    return RoofArea(
        outline=Outline(points_m=corners),
        openings=(opening,) if draw(st.booleans()) else (),
        slope_deg=draw(st.floats(0.0, 10.0)),
    )

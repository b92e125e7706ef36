"""Outlines, openings and slope against exact areas and an independent geometry library."""

from __future__ import annotations

from itertools import pairwise
from math import cos, pi, radians, sin

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from qa.errors import DomainError, OutlineError
from qa.trade.outline import Outline, RoofArea

Corners = tuple[tuple[float, float], ...]

L_SHAPE: Corners = ((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5))
DECK: Corners = ((0, 0), (5, 0), (5, 4), (0, 4))


def box(low_x: float, low_y: float, width: float, height: float) -> Outline:
    high_x, high_y = low_x + width, low_y + height
    return Outline(points_m=((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)))


@st.composite
def star_corners(draw: st.DrawFn) -> Corners:
    """Corners seen in turn from the origin: simple, mostly concave, never degenerate."""
    radii = draw(st.lists(st.floats(1.0, 20.0), min_size=3, max_size=40))
    step = 2.0 * pi / len(radii)
    return tuple((r * cos(n * step), r * sin(n * step)) for n, r in enumerate(radii))


GRID_CORNERS = st.lists(
    st.tuples(st.integers(0, 6), st.integers(0, 6)), min_size=3, max_size=8
).map(lambda corners: tuple((x / 10.0, y / 10.0) for x, y in corners))


@pytest.mark.parametrize(
    ("corners", "area_m2", "perimeter_m"),
    [
        (L_SHAPE, 21.0, 22.0),
        (tuple(reversed(L_SHAPE)), 21.0, 22.0),
        (((0, 0), (4.2, 0), (3.6, 2.9), (0.5, 3.1)), 10.945, 13.40793),
    ],
)
def test_area_and_perimeter_are_exact(corners: Corners, area_m2: float, perimeter_m: float) -> None:
    """Plane geometry, reproduced with shapely."""
    outline = Outline(points_m=corners)
    assert outline.area_m2 == pytest.approx(area_m2, abs=1e-12)
    assert outline.perimeter_m == pytest.approx(perimeter_m, abs=5e-6)


def test_openings_come_off_the_net_area() -> None:
    """5 x 4 m with a rooflight of 1.0 x 1.2 m: 18.8 m², 22.4 m of edge in all."""
    roof = RoofArea(outline=Outline(points_m=DECK), openings=(box(2.0, 1.0, 1.0, 1.2),))
    assert roof.plan_area_m2 == 20.0
    assert roof.net_area_m2 == pytest.approx(18.8)
    assert roof.perimeter_m + roof.opening_edge_m == pytest.approx(22.4)


@pytest.mark.parametrize(
    ("fall", "factor"), [(1 / 40, 1.00031245), (1 / 60, 1.00013888), (1 / 80, 1.00007812)]
)
def test_slope_enlarges_the_area(fall: float, factor: float) -> None:
    """1 / cos(atan(fall)) = sqrt(1 + fall^2), computed."""
    slope_deg = {1 / 40: 1.4320962, 1 / 60: 0.9548413, 1 / 80: 0.7161599}[fall]
    roof = RoofArea(outline=Outline(points_m=DECK), slope_deg=slope_deg)
    assert roof.net_area_m2 / roof.plan_area_m2 == pytest.approx(factor, abs=1e-8)


def test_area_survives_coordinates_of_a_map_grid() -> None:
    far = tuple((x + 451_234.5, y + 5_931_876.25) for x, y in L_SHAPE)
    assert Outline(points_m=far).area_m2 == 21.0


def test_edge_lengths_follow_the_corners() -> None:
    assert Outline(points_m=L_SHAPE).edge_lengths_m == (6.0, 2.0, 3.0, 3.0, 3.0, 5.0)


@given(corners=star_corners(), turned_deg=st.floats(0.0, 360.0))
def test_area_is_the_same_after_turning(corners: Corners, turned_deg: float) -> None:
    c, s = cos(radians(turned_deg)), sin(radians(turned_deg))
    turned = tuple((x * c - y * s, x * s + y * c) for x, y in corners)
    before, after = Outline(points_m=corners), Outline(points_m=turned)
    assert after.area_m2 == pytest.approx(before.area_m2)
    assert after.perimeter_m == pytest.approx(before.perimeter_m)


@given(corners=star_corners())
def test_area_adds_over_a_split(corners: Corners) -> None:
    """Split into the triangles that are seen from the origin."""
    assume(len(corners) > 3)
    triangles = [
        Outline(points_m=((0.0, 0.0), one, other)).area_m2
        for one, other in pairwise((*corners, corners[0]))
    ]
    assert Outline(points_m=corners).area_m2 == pytest.approx(sum(triangles))


@given(corners=star_corners())
def test_area_agrees_with_a_geometry_library(corners: Corners) -> None:
    """shapely."""
    polygon, outline = shapely.Polygon(corners), Outline(points_m=corners)
    assert outline.area_m2 == pytest.approx(polygon.area)
    assert outline.perimeter_m == pytest.approx(polygon.length)
    bounds = outline.bounds_m
    assert (bounds.low_x_m, bounds.low_y_m, bounds.high_x_m, bounds.high_y_m) == polygon.bounds


@given(corners=GRID_CORNERS)
def test_outline_is_refused_exactly_where_it_is_no_polygon(corners: Corners) -> None:
    """shapely's is_valid; it lets corners repeat in place, which here is refused."""
    assume(all(one != other for one, other in pairwise((*corners, corners[0]))))
    try:
        Outline(points_m=corners)
        sound = True
    except OutlineError:
        sound = False
    assert sound == shapely.Polygon(corners).is_valid


@given(corners=star_corners(), x=st.floats(-25.0, 25.0), y=st.floats(-25.0, 25.0))
def test_inside_agrees_with_a_geometry_library(corners: Corners, x: float, y: float) -> None:
    """shapely."""
    polygon, point = shapely.Polygon(corners), shapely.Point(x, y)
    assume(polygon.boundary.distance(point) > 1e-9)
    assert Outline(points_m=corners).contains((x, y)) == polygon.contains(point)


@pytest.mark.parametrize(
    ("corners", "point_m", "sentence"),
    [
        (((0, 0), (4, 3), (4, 0), (0, 3)), (2.0, 1.5), "Edges 1 and 3 .* meet at"),
        (((0, 0), (4, 0), (4, 3), (2, 0), (0, 3)), (2, 0), "meet at"),
        (((0, 0), (2, 1), (4, 0), (4, 4), (2, 1), (0, 4)), (2, 1), "meet at"),
        (((0, 0), (4, 0), (2, 0), (2, 3)), (4, 0), "Edges 1 and 2"),
        (((0, 0), (1, 0), (3, 0)), (0, 0), "Edges 1 and 3"),
        (((2, 0), (4, 0), (4, 3), (0, 0), (3, 0)), (3, 0), "meet at"),
        (((0, 0), (4, 0), (4, 0), (0, 3)), (4, 0), "Corner 2 and corner 3"),
        (((0, 0), (4, 0), (4, 3), (0, 0)), (0, 0), "Corner 4 and corner 1"),
    ],
    ids=[
        "crossing",
        "corner_on_edge",
        "pinched",
        "spike",
        "flat",
        "along_itself",
        "corner_twice",
        "closed_by_hand",
    ],
)
def test_fault_of_an_outline_names_its_place(
    corners: Corners, point_m: tuple[float, float], sentence: str
) -> None:
    with pytest.raises(OutlineError, match=sentence) as refused:
        Outline(points_m=corners)
    assert refused.value.point_m == pytest.approx(point_m)
    assert f"({point_m[0]:.3f}, {point_m[1]:.3f}) m" in str(refused.value)


@pytest.mark.parametrize(
    "corners",
    [(), ((0, 0), (1, 1)), ((0, 0), (1, 1), (0, 0)), ((0, 0), (float("nan"), 1), (2, 2))],
    ids=["none", "two", "two_in_turn", "no_number"],
)
def test_outline_needs_three_real_corners(corners: Corners) -> None:
    with pytest.raises(OutlineError, match=r"(?i)corner"):
        Outline(points_m=corners)


@pytest.mark.parametrize(
    ("openings", "sentence"),
    [
        ((box(4.5, 1, 1, 1),), "Opening 1 meets the outline"),
        ((box(0, 1, 1, 1),), "Opening 1 meets the outline"),
        ((box(7, 1, 1, 1),), "Opening 1 lies outside the outline"),
        ((box(1, 1, 1, 1), box(1.5, 1.5, 1, 1)), "Openings 1 and 2 meet"),
        ((box(1, 1, 1, 1), box(2, 1, 1, 1)), "Openings 1 and 2 meet"),
        ((box(1, 1, 2, 2), box(1.5, 1.5, 0.5, 0.5)), "Opening 2 lies inside opening 1"),
        ((box(1.5, 1.5, 0.5, 0.5), box(1, 1, 2, 2)), "Opening 1 lies inside opening 2"),
        ((box(1, 1, 1, 1), box(1, 1, 1, 1)), "Openings 1 and 2 meet"),
    ],
    ids=["across", "flush", "outside", "overlap", "touching", "nested", "around", "twice"],
)
def test_opening_must_lie_inside_and_apart(openings: tuple[Outline, ...], sentence: str) -> None:
    with pytest.raises(OutlineError, match=sentence) as refused:
        RoofArea(outline=Outline(points_m=DECK), openings=openings)
    assert refused.value.point_m is not None


def test_opening_in_the_notch_of_an_outline_is_outside() -> None:
    with pytest.raises(OutlineError, match="outside"):
        RoofArea(outline=Outline(points_m=L_SHAPE), openings=(box(4, 3, 1, 1),))


@pytest.mark.parametrize("slope_deg", [-0.1, 90.0, float("nan")])
def test_slope_outside_its_domain_is_refused(slope_deg: float) -> None:
    with pytest.raises(DomainError, match="slope"):
        RoofArea(outline=Outline(points_m=DECK), slope_deg=slope_deg)


def test_outline_of_a_thousand_corners_is_taken() -> None:
    step = 2.0 * pi / 1000
    wavy = tuple(
        ((20 + sin(40 * n * step)) * cos(n * step), (20 + sin(40 * n * step)) * sin(n * step))
        for n in range(1000)
    )
    assert Outline(points_m=wavy).area_m2 == pytest.approx(shapely.Polygon(wavy).area)

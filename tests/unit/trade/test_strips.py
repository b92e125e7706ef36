"""Strips at any angle, and bays in them, against a geometry library and against themselves."""

from __future__ import annotations

from math import cos, radians

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.bays import Bay, lay_out_bays
from qa.trade.clipping import chords, turned
from qa.trade.outline import Outline, RoofArea
from qa.trade.strips import lay_out_strips, strip_angle_deg
from tests.unit.trade.outlines import (
    ANGLES,
    L_SHAPE,
    concave_roofs,
    rectangle,
    shape_of,
    turned_roof,
)


def bays_of(roof: RoofArea, angle_deg: float) -> tuple[Bay, ...]:
    return lay_out_bays(
        roof, mat_width_m=1.0, mat_overlap_m=0.05, bay_length_m=1.0, angle_deg=angle_deg
    )


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_area_is_invariant_under_rotation(roof: RoofArea, angle_deg: float) -> None:
    assert turned_roof(roof, angle_deg).net_area_m2 == pytest.approx(roof.net_area_m2, rel=1e-9)


@given(roof=concave_roofs(), share=st.floats(0.05, 0.95))
def test_area_is_additive_under_splitting(roof: RoofArea, share: float) -> None:
    """shapely splits the outline along a line of x; its parts' areas add up to ours."""
    shape, bounds = shape_of(roof), roof.outline.bounds_m
    at_m = bounds.low_x_m + share * bounds.length_m
    far = 100.0
    left = shape.intersection(shapely.box(-far, -far, at_m, far)).area
    right = shape.intersection(shapely.box(at_m, -far, far, far)).area
    plan_m2 = roof.net_area_m2 / roof.slope_factor
    assert left + right == pytest.approx(plan_m2, rel=1e-9)


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_bay_areas_sum_to_net_at_any_angle(roof: RoofArea, angle_deg: float) -> None:
    bays = bays_of(roof, angle_deg)
    assert sum(bay.area_m2 for bay in bays) == pytest.approx(roof.net_area_m2, rel=1e-9, abs=1e-6)


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_turned_bay_agrees_with_a_geometry_library(roof: RoofArea, angle_deg: float) -> None:
    """shapely: the outline less its openings, met with the polygon of the bay's corners."""
    shape = shape_of(roof)
    for bay in bays_of(roof, angle_deg):
        plan_m2 = shape.intersection(shapely.Polygon(bay.corners_m)).area
        assert bay.area_m2 * cos(radians(roof.slope_deg)) == pytest.approx(plan_m2, abs=1e-8)


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_turning_roof_and_strips_together_keeps_the_bays(roof: RoofArea, angle_deg: float) -> None:
    """A bay at the rounding of the grid's edge may come or go: those of any size may not."""
    straight = {bay.key: bay.area_m2 for bay in bays_of(roof, 0.0) if bay.area_m2 > 1e-5}
    askew = {bay.key: bay.area_m2 for bay in bays_of(turned_roof(roof, angle_deg), angle_deg)}
    assert {key: askew.get(key) for key in straight} == pytest.approx(straight, abs=1e-6)


def test_corners_at_no_angle_are_the_rectangle() -> None:
    for bay in bays_of(RoofArea(outline=L_SHAPE), 0.0):
        (low_x, low_y), _, (high_x, high_y), _ = bay.corners_m
        assert (low_x, low_y) == (bay.x_m, bay.y_m)
        assert (high_x - low_x, high_y - low_y) == (bay.width_m, bay.height_m)


def test_strips_of_a_turned_rectangle_run_along_it() -> None:
    bays = bays_of(rectangle(6.0, 1.95, angle_deg=30.0), 30.0)
    assert len(bays) == 12
    assert bays[0].corners_m[1] == pytest.approx((cos(radians(30.0)), 0.5))
    assert [bay.area_m2 for bay in bays[:6]] == pytest.approx([1.0] * 6)


@pytest.mark.parametrize(
    ("length_m", "height_m", "turned_deg", "angle_deg"),
    [(6, 4, 0, 0), (4, 6, 0, 90), (6, 4, 30, 30), (6, 4, -30, -30), (6, 4, 120, -60), (4, 4, 0, 0)],
)
def test_strips_run_along_the_longest_edge(
    length_m: float, height_m: float, turned_deg: float, angle_deg: float
) -> None:
    outline = rectangle(length_m, height_m, angle_deg=turned_deg).outline
    assert strip_angle_deg(outline) == pytest.approx(angle_deg)


@given(roof=concave_roofs())
def test_strip_angle_ignores_the_way_round(roof: RoofArea) -> None:
    backwards = Outline(points_m=roof.outline.points_m[::-1])
    assert strip_angle_deg(backwards) == pytest.approx(strip_angle_deg(roof.outline), abs=1e-9)


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_runs_cover_the_roof_and_no_more(roof: RoofArea, angle_deg: float) -> None:
    """shapely: each strip's band met with the roof reaches exactly as far as its runs."""
    shape = shapely.affinity.rotate(
        shape_of(roof),
        -angle_deg,
        origin=(roof.outline.bounds_m.low_x_m, roof.outline.bounds_m.low_y_m),
    )
    for strip in lay_out_strips(roof, width_m=1.0, angle_deg=angle_deg):
        band = shapely.box(-50.0, strip.low_m, 50.0, strip.high_m).intersection(shape)
        if band.area < 1e-6:
            continue
        low_x, _, high_x, _ = band.bounds
        assert strip.runs[0][0] == pytest.approx(low_x, abs=1e-6)
        assert strip.runs[-1][1] == pytest.approx(high_x, abs=1e-6)
        inside = shapely.union_all([shapely.box(a, -50.0, b, 50.0) for a, b in strip.runs])
        assert band.difference(inside).area == pytest.approx(0.0, abs=1e-6)


def test_opening_across_a_strip_parts_its_run() -> None:
    deck = Outline(points_m=((0, 0), (6, 0), (6, 3), (0, 3)))
    light = Outline(points_m=((2, 0.9), (3, 0.9), (3, 2.1), (2, 2.1)))
    strips = lay_out_strips(RoofArea(outline=deck, openings=(light,)), width_m=1.0)
    assert [strip.runs for strip in strips] == [
        ((0, 6),),
        ((0, 2), (3, 6)),
        ((0, 6),),
    ]


@given(roof=concave_roofs(), share=st.floats(0.01, 0.99))
def test_chords_agree_with_a_geometry_library(roof: RoofArea, share: float) -> None:
    bounds = roof.outline.bounds_m
    at_m = bounds.low_y_m + share * bounds.height_m
    line = shapely.LineString([(-50.0, at_m), (50.0, at_m)])
    rings = tuple(ring.points_m for ring in (roof.outline, *roof.openings))
    length_m = sum(to - start for start, to in chords(rings, axis=1, at_m=at_m))
    assert length_m == pytest.approx(shape_of(roof).intersection(line).length, abs=1e-6)


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_turning_back_restores_the_ring(roof: RoofArea, angle_deg: float) -> None:
    ring = roof.outline.points_m
    there = turned(ring, angle_deg=angle_deg, about_m=(3.0, -2.0))
    back = turned(there, angle_deg=-angle_deg, about_m=(3.0, -2.0))
    for point, same in zip(back, ring, strict=True):
        assert point == pytest.approx(same, abs=1e-9)


@pytest.mark.parametrize("angle_deg", [181.0, -180.5, float("nan"), float("inf")])
def test_angle_outside_its_range_is_refused(angle_deg: float) -> None:
    with pytest.raises(DomainError, match="angle of the strips"):
        lay_out_strips(rectangle(3.0, 2.0), width_m=1.0, angle_deg=angle_deg)

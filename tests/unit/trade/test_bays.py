"""The layout of strips and bays."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.bays import Bay, BayKey, lay_out_bays, parse_bay_key
from qa.trade.outline import Outline, RoofArea

L_SHAPE = Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5)))
ROOFLIGHT = Outline(points_m=((2, 1), (3, 1), (3, 2.2), (2, 2.2)))


def rectangle(length_m: float, height_m: float, *, x_m: float = 0.0, y_m: float = 0.0) -> RoofArea:
    high_x, high_y = x_m + length_m, y_m + height_m
    corners = ((x_m, y_m), (high_x, y_m), (high_x, high_y), (x_m, high_y))
    return RoofArea(outline=Outline(points_m=corners))


def bays_of(roof: RoofArea, *, bay_length_m: float = 1.0) -> tuple[Bay, ...]:
    return lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=0.05, bay_length_m=bay_length_m)


@st.composite
def concave_roofs(draw: st.DrawFn) -> RoofArea:
    """A star-shaped outline, with a square opening at its heart or without, on a slope."""
    radii = draw(st.lists(st.floats(1.0, 6.0), min_size=3, max_size=20))
    step = 2.0 * pi / len(radii)
    corners = tuple((r * cos(n * step), r * sin(n * step)) for n, r in enumerate(radii))
    opening = Outline(points_m=((0.2, 0.0), (0.0, 0.2), (-0.2, 0.0), (0.0, -0.2)))
    return RoofArea(
        outline=Outline(points_m=corners),
        openings=(opening,) if draw(st.booleans()) else (),
        slope_deg=draw(st.floats(0.0, 10.0)),
    )


@pytest.mark.parametrize(
    ("height_m", "rows"),
    [
        (0.01, 1),
        (0.5, 1),
        (1.0, 1),
        (1.001, 2),
        (1.95, 2),
        (1.951, 3),
        (2.9, 3),
        (4.8, 5),
        (4.81, 6),
    ],
)
def test_strips_are_one_mat_less_the_overlap(height_m: float, rows: int) -> None:
    """Common practice, no source: a mat of 1 m laid with 50 mm of overlap."""
    assert max(bay.row for bay in bays_of(rectangle(3.0, height_m))) == rows


@pytest.mark.parametrize(
    ("height_m", "y_m", "rows"), [(1.95, 0.4, 2), (3.85, 0.0, 4), (4.8, 1.1, 5), (6.7, 0.0, 7)]
)
def test_float_noise_adds_no_strip(height_m: float, y_m: float, rows: int) -> None:
    """Whole strips that binary arithmetic makes a hair more: (3.85 - 1) / 0.95 is above 3."""
    assert max(bay.row for bay in bays_of(rectangle(3.0, height_m, y_m=y_m))) == rows


def test_first_strip_is_a_whole_mat_wide() -> None:
    heights = {bay.row: bay.height_m for bay in bays_of(rectangle(3.0, 2.5))}
    assert heights == pytest.approx({1: 1.0, 2: 0.95, 3: 0.55})


@pytest.mark.parametrize(
    ("length_m", "columns"), [(0.3, 1), (1.4, 1), (1.6, 2), (4.2, 4), (4.6, 5), (9.0, 9)]
)
def test_strips_divide_into_equal_bays(length_m: float, columns: int) -> None:
    bays = bays_of(rectangle(length_m, 1.0))
    assert len(bays) == columns
    assert [bay.width_m for bay in bays] == pytest.approx([length_m / columns] * columns)


def test_first_bay_lies_at_the_lowest_corner() -> None:
    first, *_ = bays_of(rectangle(3.0, 2.0, x_m=-1.5, y_m=7.0))
    assert (first.key, first.x_m, first.y_m) == ("r1b1", -1.5, 7.0)


def test_cells_without_roof_keep_their_numbers() -> None:
    """An L-shaped roof: the upper strips end at the notch, the numbers go on."""
    keys = {bay.key for bay in bays_of(RoofArea(outline=L_SHAPE))}
    assert {"r1b6", "r3b4", "r4b3"} <= keys
    assert "r4b4" not in keys


def test_opening_leaves_its_bay_with_the_rest() -> None:
    deck = Outline(points_m=((0, 0), (5, 0), (5, 4), (0, 4)))
    areas = {b.key: b.area_m2 for b in bays_of(RoofArea(outline=deck, openings=(ROOFLIGHT,)))}
    assert areas["r1b3"] == pytest.approx(1.0)
    assert "r2b3" not in areas
    assert areas["r3b3"] == pytest.approx(0.95 - 0.25)
    assert sum(areas.values()) == pytest.approx(18.8)


@given(roof=concave_roofs(), bay_length_m=st.floats(0.3, 3.0))
def test_bay_areas_sum_to_the_net_area(roof: RoofArea, bay_length_m: float) -> None:
    bays = bays_of(roof, bay_length_m=bay_length_m)
    assert sum(bay.area_m2 for bay in bays) == pytest.approx(roof.net_area_m2, rel=1e-9, abs=1e-6)


@given(roof=concave_roofs())
def test_each_bay_agrees_with_a_geometry_library(roof: RoofArea) -> None:
    """shapely: the outline less its openings, met with the bay's rectangle."""
    shape = shapely.Polygon(roof.outline.points_m, [o.points_m for o in roof.openings])
    for bay in bays_of(roof):
        cell = shapely.box(bay.x_m, bay.y_m, bay.x_m + bay.width_m, bay.y_m + bay.height_m)
        plan_m2 = shape.intersection(cell).area
        assert bay.area_m2 * cos(radians(roof.slope_deg)) == pytest.approx(plan_m2, abs=1e-9)


def test_bay_keys_come_in_order_and_once() -> None:
    bays = bays_of(rectangle(11.0, 9.0))
    places = [(bay.row, bay.number) for bay in bays]
    assert places == sorted(set(places))
    assert [parse_bay_key(bay.key) for bay in bays] == [
        BayKey(row=row, number=number) for row, number in places
    ]


@given(row=st.integers(1, 10_000), number=st.integers(1, 10_000))
def test_bay_key_reads_back_what_it_writes(row: int, number: int) -> None:
    key = BayKey(row=row, number=number)
    assert parse_bay_key(str(key)) == key


@pytest.mark.parametrize(
    "text", ["", "r0b1", "r1b0", "r01b1", "R1B1", "r1b1 ", "b1r1", "r1", "r1b1x", "r-1b1", "r١b1"]
)
def test_text_that_is_no_bay_key_is_refused(text: str) -> None:
    with pytest.raises(DomainError, match="bay key"):
        parse_bay_key(text)


def test_layout_refuses_figures_outside_its_domain() -> None:
    roof = rectangle(3.0, 2.0)
    with pytest.raises(DomainError, match="width of the mat"):
        lay_out_bays(roof, mat_width_m=0.0, mat_overlap_m=0.0, bay_length_m=1.0)
    with pytest.raises(DomainError, match="overlap"):
        lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=1.0, bay_length_m=1.0)
    with pytest.raises(DomainError, match="overlap"):
        lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=-0.1, bay_length_m=1.0)
    with pytest.raises(DomainError, match="length of a bay"):
        lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=0.05, bay_length_m=0.0)
    with pytest.raises(DomainError, match="number of bays"):
        bays_of(rectangle(5000.0, 5000.0))

"""Mat, boards, joists, fixings and containers."""

from __future__ import annotations

from math import cos, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.boards import board_need, joist_lines
from qa.trade.containers import containers_for
from qa.trade.fixings import expansion_gap_mm, fixing_diameter_mm, fixing_length_mm, fixings_along
from qa.trade.mat import mat_need
from qa.trade.outline import Outline, RoofArea
from tests.unit.trade.outlines import ANGLES, L_SHAPE, concave_roofs, rectangle, turned_roof

BOARD = {"board_length_m": 2.4, "board_width_m": 0.59, "shortest_piece_m": 0.4}
MAT = {"mat_width_m": 1.0, "mat_overlap_m": 0.05}


def test_mat_counts_whole_strips_with_their_overlap() -> None:
    """3.85 m is 1 + 3 x 0.95: four strips of 6 m, worked by hand."""
    need = mat_need(rectangle(6.0, 3.85), **MAT)
    assert (need.strips, need.pieces, need.joins) == (4, 4, 0)
    assert need.length_m == pytest.approx(24.0)
    assert need.waste_pct == pytest.approx(100.0 * (24.0 / 23.1 - 1.0))


def test_mat_of_an_l_shape_ends_at_its_notch() -> None:
    """Strips to 1, 1.95, 2.9, 3.85, 4.8 and 5 m; the third begins at 1.90, below the notch."""
    need = mat_need(RoofArea(outline=L_SHAPE), **MAT)
    assert need.length_m == pytest.approx(6 + 6 + 6 + 3 + 3 + 3)


def test_mat_is_joined_where_a_roll_ends() -> None:
    need = mat_need(rectangle(6.0, 3.85), roll_m=10.0, **MAT)
    assert (need.joins, need.length_m) == (2, pytest.approx(24.1))


def test_mat_lies_on_the_slope() -> None:
    flat = rectangle(6.0, 3.85)
    steep = RoofArea(outline=flat.outline, slope_deg=10.0)
    ratio = mat_need(steep, **MAT).length_m / mat_need(flat, **MAT).length_m
    assert ratio == pytest.approx(1.0 / cos(radians(10.0)))


@given(roof=concave_roofs(), angle_deg=ANGLES)
def test_mat_and_boards_cover_the_roof_at_any_angle(roof: RoofArea, angle_deg: float) -> None:
    assert mat_need(roof, angle_deg=angle_deg, **MAT).waste_pct > -1e-6
    assert board_need(roof, angle_deg=angle_deg, **BOARD).waste_pct > -1e-6


@given(length_m=st.floats(2.0, 9.0), height_m=st.floats(2.0, 9.0), angle_deg=ANGLES)
def test_turning_a_roof_with_its_boards_keeps_the_order(
    length_m: float, height_m: float, angle_deg: float
) -> None:
    roof = rectangle(length_m, height_m)
    straight = joist_lines(roof, centres_m=0.4)
    askew = joist_lines(turned_roof(roof, angle_deg), centres_m=0.4, angle_deg=angle_deg)
    assert askew.length_m == pytest.approx(straight.length_m, rel=1e-6)


def test_boards_go_on_with_what_was_cut_off() -> None:
    """Rows of 6 m from 2.4 m boards: 2.5 boards a row, so ten boards make four rows."""
    need = board_need(rectangle(6.0, 2.36), **BOARD)
    assert (need.rows, need.boards, need.end_joints) == (4, 10, 8)
    assert need.waste_pct == pytest.approx(0.0, abs=1e-9)
    assert need.end_joint_m == pytest.approx(8 * 0.59)
    assert need.row_joint_m == pytest.approx(18.0)


def test_offcut_too_short_is_not_used() -> None:
    """Rows of 2.1 m leave 0.3 m, below the shortest piece of 0.4 m: a board each."""
    assert board_need(rectangle(2.1, 1.77), **BOARD).boards == 3


def test_opening_parts_the_joists_and_joints() -> None:
    deck = Outline(points_m=((0, 0), (6, 0), (6, 3), (0, 3)))
    light = Outline(points_m=((1.1, 1), (1.3, 1), (1.3, 2), (1.1, 2)))
    roof = RoofArea(outline=deck, openings=(light,))
    assert joist_lines(roof, centres_m=0.6).length_m == pytest.approx(11 * 3.0 - 1.0)


@pytest.mark.parametrize(
    ("length_m", "centres_m", "count"), [(6.0, 0.6, 11), (6.0, 0.4, 16), (6.1, 0.6, 12)]
)
def test_joists_stand_at_their_centres(length_m: float, centres_m: float, count: int) -> None:
    lines = joist_lines(rectangle(length_m, 4.0), centres_m=centres_m)
    assert (lines.count, lines.length_m) == (count, pytest.approx(4.0 * count))


@pytest.mark.parametrize(("board_mm", "length_mm"), [(15, 50), (18, 50), (22, 55), (25, 62.5)])
def test_fixing_length_is_the_greater_of_two(board_mm: float, length_mm: float) -> None:
    """A board maker's published guide: the greater of 50 mm and 2.5 t."""
    length = fixing_length_mm(board_mm=board_mm, least_mm=50.0, thicknesses=2.5)
    assert length == pytest.approx(length_mm)


def test_penetration_governs_where_it_asks_for_more() -> None:
    """Common practice, no source: 40 mm in the joist makes 58 mm through an 18 mm board."""
    length = fixing_length_mm(board_mm=18.0, least_mm=50.0, thicknesses=2.5, penetration_mm=40.0)
    assert length == pytest.approx(58.0)


@pytest.mark.parametrize(("board_mm", "diameter_mm"), [(18, 2.88), (22, 3.52)])
def test_fixing_diameter_follows_the_board(board_mm: float, diameter_mm: float) -> None:
    """A board maker's published guide: 0.16 t."""
    assert fixing_diameter_mm(board_mm=board_mm, share=0.16) == pytest.approx(diameter_mm)


@pytest.mark.parametrize(("roof_m", "gap_mm"), [(4, 10), (5, 10), (6, 12), (8, 16), (12, 24)])
def test_expansion_gap_grows_with_the_roof(roof_m: float, gap_mm: float) -> None:
    """A board maker's published guide: the greater of 10 mm and 2 mm for each metre."""
    assert expansion_gap_mm(roof_m=roof_m, least_mm=10.0, per_m_mm=2.0) == pytest.approx(gap_mm)


@given(length_m=st.floats(0.05, 50.0), centres_mm=st.floats(50.0, 400.0))
def test_fixings_are_nowhere_farther_than_their_centres(length_m: float, centres_mm: float) -> None:
    fixings = fixings_along(length_m, centres_mm=centres_mm)
    assert length_m * 1000.0 / (fixings - 1) <= centres_mm * (1 + 1e-6)
    assert fixings == 2 or length_m * 1000.0 / (fixings - 2) > centres_mm * (1 - 1e-6)


def test_board_of_590_mm_takes_four_fixings() -> None:
    """Common practice, no source: 200 mm centres and at least four across a board agree."""
    assert fixings_along(0.59, centres_mm=200.0) == 4


@given(
    quantity=st.floats(0.0, 500.0),
    sizes=st.lists(st.sampled_from([1.0, 2.5, 5.0, 10.0, 20.0, 25.0]), min_size=1, max_size=4),
)
def test_containers_hold_enough_and_spare_less_than_the_smallest(
    quantity: float, sizes: list[float]
) -> None:
    containers = containers_for(quantity, sizes=sizes)
    content = sum(container.content for container in containers)
    assert content >= quantity * (1 - 1e-9) - 1e-6
    assert content - quantity < min(sizes) + 1e-6


@pytest.mark.parametrize(
    ("quantity", "sizes", "expected"),
    [
        (0.0, (20.0,), []),
        (20.0, (20.0, 5.0), [(1, 20.0)]),
        (20.1, (20.0, 5.0), [(1, 20.0), (1, 5.0)]),
        (34.0, (20.0, 10.0, 5.0), [(1, 20.0), (1, 10.0), (1, 5.0)]),
        (36.0, (20.0, 10.0, 5.0), [(2, 20.0)]),
        (6.0, (5.0, 3.0), [(2, 3.0)]),
        (0.3, (0.1,), [(3, 0.1)]),
    ],
)
def test_containers_leave_the_least_over(
    quantity: float, sizes: tuple[float, ...], expected: list[tuple[int, float]]
) -> None:
    found = [(c.count, c.size) for c in containers_for(quantity, sizes=sizes)]
    assert found == expected


def test_counts_refuse_figures_outside_their_domain() -> None:
    roof = rectangle(3.0, 2.0)
    with pytest.raises(DomainError, match="length of a board"):
        board_need(roof, board_length_m=0.0, board_width_m=0.59, shortest_piece_m=0.4)
    with pytest.raises(DomainError, match="joist centres"):
        joist_lines(roof, centres_m=0.0)
    with pytest.raises(DomainError, match="number of joists"):
        joist_lines(roof, centres_m=1e-9)
    with pytest.raises(DomainError, match="number of strips"):
        mat_need(roof, mat_width_m=1e-9, mat_overlap_m=0.0)
    with pytest.raises(DomainError, match="roll of mat"):
        mat_need(roof, roll_m=0.0, **MAT)
    with pytest.raises(DomainError, match="container sizes"):
        containers_for(1.0, sizes=())
    with pytest.raises(DomainError, match="size of a container"):
        containers_for(1.0, sizes=(0.0,))
    with pytest.raises(DomainError, match="fixing centres"):
        fixings_along(1.0, centres_mm=0.0)

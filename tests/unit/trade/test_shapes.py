"""Outlines from taped lengths."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError, OutlineError
from qa.trade.outline import Outline
from qa.trade.shapes import Corner, Pace, ell_m, rectangle_m, walk_m

LENGTHS = st.floats(min_value=0.2, max_value=50).map(lambda value: round(value, 2))


@given(length_m=LENGTHS, width_m=LENGTHS)
def test_rectangle_bounds_length_times_width(length_m: float, width_m: float) -> None:
    outline = Outline(points_m=rectangle_m(length_m=length_m, width_m=width_m))
    assert outline.area_m2 == pytest.approx(length_m * width_m)
    assert outline.edge_lengths_m[:2] == pytest.approx((length_m, width_m))


@given(
    out=st.sampled_from(Corner),
    length_m=LENGTHS,
    width_m=LENGTHS,
    share=st.floats(min_value=0.1, max_value=0.9),
)
def test_ell_lacks_just_the_corner(
    out: Corner, length_m: float, width_m: float, share: float
) -> None:
    out_length_m, out_width_m = round(length_m * share, 3), round(width_m * share, 3)
    points = ell_m(
        length_m=length_m,
        width_m=width_m,
        out_length_m=out_length_m,
        out_width_m=out_width_m,
        out=out,
    )
    outline = Outline(points_m=points)
    expected = length_m * width_m - out_length_m * out_width_m
    assert outline.area_m2 == pytest.approx(expected, abs=1e-3)
    assert outline.perimeter_m == pytest.approx(2 * (length_m + width_m))


@pytest.mark.parametrize("out", list(Corner))
def test_ell_with_too_large_a_corner_crosses_itself(out: Corner) -> None:
    points = ell_m(length_m=4, width_m=3, out_length_m=5, out_width_m=1, out=out)
    with pytest.raises(OutlineError) as refused:
        Outline(points_m=points)
    assert refused.value.point_m is not None


@given(length_m=LENGTHS, width_m=LENGTHS, turn=st.sampled_from([90.0, -90.0]))
def test_walk_need_not_say_its_last_side(length_m: float, width_m: float, turn: float) -> None:
    sides = [length_m, width_m, length_m, width_m]
    paces = [Pace(length_m=side, turn_deg=turn) for side in sides]
    assert walk_m(paces) == walk_m(paces[:3])
    assert Outline(points_m=walk_m(paces)).area_m2 == pytest.approx(length_m * width_m)


def test_walk_that_misses_its_beginning_is_closed_by_a_side() -> None:
    paces = [Pace(length_m=side, turn_deg=90) for side in (6, 4, 6, 3.9)]
    assert len(walk_m(paces)) == 5


@pytest.mark.parametrize("length_m", [0.0, -1.0, float("nan")])
def test_length_of_nothing_is_refused(length_m: float) -> None:
    with pytest.raises(DomainError):
        rectangle_m(length_m=length_m, width_m=1)
    with pytest.raises(DomainError):
        walk_m([Pace(length_m=length_m, turn_deg=90)])

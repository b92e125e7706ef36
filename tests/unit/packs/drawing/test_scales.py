from __future__ import annotations

from itertools import islice, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.packs.drawing.scales import Axis, plan_scales, round_step, tick_text, widened


def test_plan_scales_grow_and_do_not_end() -> None:
    scales = list(islice(plan_scales(), 60))
    assert all(one < next_one for one, next_one in pairwise(scales))
    assert {50, 75, 100, 125, 200} <= set(scales)
    assert scales[0] == 20


@given(least=st.floats(1e-6, 1e9))
def test_round_step_is_the_next_of_one_two_five(least: float) -> None:
    step = round_step(least)
    assert least * (1 - 1e-6) <= step <= least * 2.5 * (1 + 1e-6)
    assert f"{step:.6e}"[0] in "125"


def test_axis_runs_from_its_low_end_to_its_high_end() -> None:
    axis = Axis(low=5.0, high=35.0, from_mm=10.0, to_mm=70.0)
    assert (axis.at(5.0), axis.at(20.0), axis.at(35.0)) == (10.0, 40.0, 70.0)
    assert (axis.kept(0.0), axis.kept(99.0)) == (10.0, 70.0)


def test_ticks_are_round_and_apart() -> None:
    axis = Axis(low=5.0, high=35.0, from_mm=60.0, to_mm=0.0)
    assert axis.ticks(9.0) == (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0)


@given(low=st.floats(-50.0, 50.0), spread=st.floats(0.0, 80.0))
def test_widened_range_holds_what_it_is_given(low: float, spread: float) -> None:
    start, end = widened(low, low + spread, 10.0)
    assert start <= low + 1e-6
    assert end >= low + spread - 1e-6
    assert end - start >= 10.0 - 1e-6


@pytest.mark.parametrize(
    ("value", "text"), [(-5.0, "−5"), (0.1 + 0.2, "0.3"), (0.0, "0"), (1500.0, "1500")]
)
def test_ticks_are_written_without_false_digits(value: float, text: str) -> None:
    assert tick_text(value) == text

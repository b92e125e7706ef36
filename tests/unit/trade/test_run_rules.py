"""Run rules just at and just short of what each one says."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.run_rules import ALL_RULES, RULES_OF_COUNTS, RunRule, Signal, signals_in

DISTANCES = st.lists(st.integers(-35, 35).map(lambda tenths: tenths / 10.0), max_size=40)


def found(distances: Sequence[float], rule: RunRule) -> list[tuple[int, ...]]:
    return [signal.points for signal in signals_in(distances, (rule,))]


def test_rules_are_the_eight_published_ones() -> None:
    """Nelson 1984, from memory."""
    assert len(ALL_RULES) == 8
    assert set(RULES_OF_COUNTS) < set(ALL_RULES)


@pytest.mark.parametrize(
    ("rule", "enough", "short"),
    [
        (RunRule.BEYOND_3_SIGMA, (3.01,), (3.0,)),
        (RunRule.BEYOND_3_SIGMA, (-3.01,), (-3.0,)),
        (RunRule.NINE_ON_ONE_SIDE, (0.1,) * 9, (0.1,) * 8),
        (RunRule.NINE_ON_ONE_SIDE, (-0.1,) * 9, (*[-0.1] * 8, 0.1)),
        (RunRule.SIX_RISING_OR_FALLING, (0, 0.1, 0.2, 0.3, 0.4, 0.5), (0, 0.1, 0.2, 0.3, 0.4)),
        (RunRule.SIX_RISING_OR_FALLING, (5, 4, 3, 2, 1, 0), (5, 4, 3, 2, 2, 1)),
        (RunRule.FOURTEEN_ALTERNATING, (0.1, -0.1) * 7, (0.1, -0.1) * 6 + (0.1,)),
        (RunRule.FOURTEEN_ALTERNATING, (0.2, 0.1) * 7, (0.2, 0.1) * 6 + (0.1, 0.2)),
        (RunRule.TWO_OF_THREE_BEYOND_2_SIGMA, (2.1, 0, 2.1), (2.1, 0, 0, 2.1)),
        (RunRule.TWO_OF_THREE_BEYOND_2_SIGMA, (-2.1, -2.1), (2.1, -2.1, 0)),
        (RunRule.TWO_OF_THREE_BEYOND_2_SIGMA, (2.1, 0, 2.1), (2.0, 0, 2.1)),
        (RunRule.FOUR_OF_FIVE_BEYOND_1_SIGMA, (1.1, 1.1, 0, 1.1, 1.1), (1.1, 1.1, 0, 0, 1.1, 1.1)),
        (RunRule.FOUR_OF_FIVE_BEYOND_1_SIGMA, (-1.1,) * 4, (-1.1, -1.1, 1.1, -1.1, 0)),
        (RunRule.FIFTEEN_WITHIN_1_SIGMA, (0.9, -0.9, 0.1) * 5, (0.9, -0.9, 0.1) * 4 + (0.1, 0.1)),
        (RunRule.FIFTEEN_WITHIN_1_SIGMA, (0.0,) * 15, (*[0.0] * 14, 1.0)),
        (RunRule.EIGHT_BEYOND_1_SIGMA, (1.1, -1.1) * 4, (1.1, -1.1) * 3 + (1.1,)),
        (RunRule.EIGHT_BEYOND_1_SIGMA, (1.1, -1.1) * 4, (1.1, -1.1) * 3 + (1.1, 1.0)),
    ],
)
def test_rule_finds_enough_and_nothing_short_of_it(
    rule: RunRule, enough: tuple[float, ...], short: tuple[float, ...]
) -> None:
    assert len(found(enough, rule)) == 1
    assert found(short, rule) == []


def test_runs_that_touch_are_one_signal() -> None:
    assert found((0.5,) * 12, RunRule.NINE_ON_ONE_SIDE) == [tuple(range(12))]
    far = (2.1, 2.1, 0.0, 2.1, 0.0, 0.0, 0.0, 2.1, 2.1)
    assert found(far, RunRule.TWO_OF_THREE_BEYOND_2_SIGMA) == [(0, 1, 3), (7, 8)]


def test_points_of_a_rule_leave_out_those_within() -> None:
    run = (1.1, 0.2, 1.1, 1.1, 1.1)
    assert found(run, RunRule.FOUR_OF_FIVE_BEYOND_1_SIGMA) == [(0, 2, 3, 4)]


def test_point_on_the_centre_ends_a_run() -> None:
    assert found((*[0.4] * 5, 0.0, *[0.4] * 5), RunRule.NINE_ON_ONE_SIDE) == []


def test_nothing_is_found_in_no_points() -> None:
    assert signals_in(()) == ()
    assert signals_in((0.3,)) == ()


def test_only_the_rules_asked_for_are_applied() -> None:
    signals = signals_in((3.5,) * 9, RULES_OF_COUNTS)
    assert {signal.rule for signal in signals} == {
        RunRule.BEYOND_3_SIGMA,
        RunRule.NINE_ON_ONE_SIDE,
    }


@given(distances=DISTANCES)
def test_turned_over_points_give_the_same_signals(distances: list[float]) -> None:
    def as_set(signals: tuple[Signal, ...]) -> set[Signal]:
        return set(signals)

    assert as_set(signals_in([-d for d in distances])) == as_set(signals_in(distances))


@given(distances=DISTANCES)
def test_reversed_time_gives_the_same_points(distances: list[float]) -> None:
    last = len(distances) - 1
    backwards = {
        (signal.rule, tuple(sorted(last - point for point in signal.points)))
        for signal in signals_in(distances[::-1])
        if signal.rule is not RunRule.FOUR_OF_FIVE_BEYOND_1_SIGMA
    }
    forwards = {
        (signal.rule, signal.points)
        for signal in signals_in(distances)
        if signal.rule is not RunRule.FOUR_OF_FIVE_BEYOND_1_SIGMA
    }
    assert backwards == forwards


@given(distances=DISTANCES, more=DISTANCES)
def test_later_points_never_take_a_signal_away(distances: list[float], more: list[float]) -> None:
    before, after = signals_in(distances), signals_in(distances + more)
    for signal in before:
        assert any(
            other.rule is signal.rule and set(signal.points) <= set(other.points) for other in after
        )


def test_distance_that_is_no_number_is_refused() -> None:
    with pytest.raises(DomainError, match="distance from the centre"):
        signals_in((0.1, float("nan")))

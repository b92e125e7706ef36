"""Propagation of uncertainty against the GUM's worked examples and an outside calculator."""

from __future__ import annotations

from collections.abc import Callable
from math import pi, sqrt
from typing import Any

import GTC
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.catalyst import dose_uncertainty_ml_per_kg
from qa.trade.consumption import rate_uncertainty_kg_per_m2
from qa.trade.uncertainty import (
    Effect,
    Measured,
    difference,
    function_of,
    mean_of,
    product,
    quotient,
    rounded_uncertainty,
    sum_of,
)

SIZE = st.floats(0.1, 100.0)
SPREAD = st.floats(1e-3, 10.0)
ROOT3 = sqrt(3.0)


def known(value: float, uncertainty: float, source: str) -> Measured:
    return Measured.standard(value, source=source, uncertainty=uncertainty)


def end_gauge() -> Measured:
    """JCGM 100:2008 H.1, nm: l = ls + d - ls (delta alpha * theta + alpha s * delta theta)."""
    standard = known(50_000_623.0, 25.0, "standard")
    parts = (known(215.0, 5.8, "repeats"), known(0.0, 3.9, "random"), known(0.0, 6.7, "systematic"))
    expansion_gap = known(0.0, 1e-6 / ROOT3, "difference of expansion")
    expansion = known(11.5e-6, 2e-6 / ROOT3, "expansion")
    gap_k = known(0.0, 0.05 / ROOT3, "difference of temperature")
    theta = sum_of((known(-0.1, 0.2, "mean temperature"), known(0.0, 0.5 / sqrt(2.0), "cycle")))
    thermal = sum_of((product(expansion_gap, theta), product(expansion, gap_k)))
    return difference(sum_of((standard, *parts)), product(standard, thermal))


def test_end_gauge_of_the_gum_comes_out() -> None:
    length = end_gauge()
    assert length.value == pytest.approx(50_000_838.0)
    assert length.standard_uncertainty == pytest.approx(31.66, abs=0.01)
    told = {each.name: each.standard_uncertainty for each in length.contributions}
    assert told == pytest.approx(
        {
            "standard": 25.0,
            "difference of temperature": 16.599,
            "systematic": 6.7,
            "repeats": 5.8,
            "random": 3.9,
            "difference of expansion": 2.88679,
        },
        abs=1e-3,
    )


def test_end_gauge_is_told_to_two_digits() -> None:
    assert rounded_uncertainty(end_gauge().standard_uncertainty) == 32.0


def test_parts_of_the_end_gauge_comparison_add_in_quadrature() -> None:
    parts = [known(0.0, u, name) for name, u in (("d", 5.8), ("d1", 3.9), ("d2", 6.7))]
    assert sum_of(parts).standard_uncertainty == pytest.approx(9.68, abs=0.005)


Operation = tuple[Callable[[Measured, Measured], Measured], Callable[[Any, Any], Any]]
OPERATIONS: dict[str, Operation] = {
    "sum": (lambda a, b: sum_of((a, b)), lambda x, y: x + y),
    "difference": (difference, lambda x, y: x - y),
    "product": (product, lambda x, y: x * y),
    "quotient": (quotient, lambda x, y: x / y),
}


@pytest.mark.parametrize("name", OPERATIONS)
@given(a=SIZE, b=SIZE, ua=SPREAD, ub=SPREAD)
def test_operation_agrees_with_an_outside_calculator(
    name: str, a: float, b: float, ua: float, ub: float
) -> None:
    ours, theirs = OPERATIONS[name]
    found = ours(known(a, ua, "a"), known(b, ub, "b"))
    reference = theirs(GTC.ureal(a, ua), GTC.ureal(b, ub))
    assert found.value == pytest.approx(GTC.value(reference))
    assert found.standard_uncertainty == pytest.approx(GTC.uncertainty(reference), rel=1e-9)


@given(used=SIZE, wasted=SIZE, area=SIZE, scale=SPREAD, tape=SPREAD)
def test_chain_with_shared_sources_agrees_with_an_outside_calculator(
    used: float, wasted: float, area: float, scale: float, tape: float
) -> None:
    """One scale twice and one tape twice: the same error each time."""
    per_kg, per_m = known(1.0, scale / 100, "scale"), known(1.0, tape / 100, "tape")
    scaled = [product(Measured(value=kg), per_kg) for kg in (used, wasted)]
    ours = quotient(sum_of(scaled), product(Measured(value=area), product(per_m, per_m)))
    x, y = GTC.ureal(1.0, scale / 100), GTC.ureal(1.0, tape / 100)
    theirs = (used * x + wasted * x) / (area * y * y)
    assert ours.value == pytest.approx(GTC.value(theirs))
    assert ours.standard_uncertainty == pytest.approx(GTC.uncertainty(theirs), rel=1e-9)


def test_shares_agree_with_an_outside_calculator() -> None:
    mass, area = known(36.0, 0.05, "scale"), known(24.0, 0.05, "tape")
    rate = quotient(mass, area)
    m, a = GTC.ureal(36.0, 0.05, label="scale"), GTC.ureal(24.0, 0.05, label="tape")
    reference = m / a
    for each, input_ in zip(sorted(rate.contributions, key=lambda c: c.name), (m, a), strict=True):
        assert each.standard_uncertainty == pytest.approx(abs(GTC.component(reference, input_)))
    assert sum(each.share for each in rate.contributions) == pytest.approx(1.0)
    assert [each.name for each in rate.contributions] == ["tape", "scale"]


def test_weighing_twice_on_one_scale_is_twice_as_wrong() -> None:
    apart = sum_of((known(5.0, 0.03, "one"), known(5.0, 0.03, "other")))
    together = sum_of((known(5.0, 0.03, "scale"), known(5.0, 0.03, "scale")))
    assert together.standard_uncertainty == pytest.approx(0.06)
    assert apart.standard_uncertainty == pytest.approx(0.03 * sqrt(2.0))


def test_error_shared_by_both_cancels_in_a_difference() -> None:
    tare = difference(known(12.0, 0.03, "scale"), known(2.0, 0.03, "scale"))
    assert tare.standard_uncertainty == 0.0
    assert tare.contributions == ()


def test_function_takes_its_sensitivities_from_the_caller() -> None:
    """Circle by its diameter: dA / dd = pi d / 2."""
    diameter = known(2.0, 0.01, "calliper")
    area = function_of(pi, (diameter, pi))
    assert area.standard_uncertainty == pytest.approx(0.01 * pi)


@given(value=SIZE, uncertainty=SPREAD)
def test_expanded_is_twice_the_standard(value: float, uncertainty: float) -> None:
    told = Measured.expanded(value, source="scale", uncertainty=uncertainty)
    assert told.expanded_uncertainty == pytest.approx(uncertainty)
    assert told.standard_uncertainty == pytest.approx(uncertainty / 2)


@given(a=SIZE, b=SIZE, ua=SPREAD, ub=SPREAD, more=st.floats(1.001, 5.0))
@pytest.mark.parametrize("name", OPERATIONS)
def test_result_is_worse_known_where_an_input_is(
    name: str, a: float, b: float, ua: float, ub: float, more: float
) -> None:
    ours, _ = OPERATIONS[name]
    before = ours(known(a, ua, "a"), known(b, ub, "b")).standard_uncertainty
    assert ours(known(a, ua * more, "a"), known(b, ub, "b")).standard_uncertainty > before
    assert ours(known(a, ua, "a"), known(b, ub * more, "b")).standard_uncertainty > before


@given(a=SIZE, b=SIZE, ua=SPREAD, ub=SPREAD)
def test_formulas_of_rate_and_dose_are_the_same_propagation(
    a: float, b: float, ua: float, ub: float
) -> None:
    general = quotient(known(a, ua, "a"), known(b, ub, "b")).standard_uncertainty
    rate = rate_uncertainty_kg_per_m2(kg=a, m2=b, kg_uncertainty=ua, m2_uncertainty=ub)
    dose = dose_uncertainty_ml_per_kg(
        catalyst_ml=a, resin_kg=b, ml_uncertainty=ua, kg_uncertainty=ub
    )
    assert rate == pytest.approx(general)
    assert dose == pytest.approx(general)


@given(shares=st.lists(SPREAD, min_size=1, max_size=6))
def test_shares_add_up_to_the_whole(shares: list[float]) -> None:
    total = sum_of(known(1.0, u, f"source {n}") for n, u in enumerate(shares))
    assert sum(each.share for each in total.contributions) == pytest.approx(1.0)


@given(uncertainty=st.floats(1e-9, 1e9))
def test_rounding_keeps_two_digits(uncertainty: float) -> None:
    """JCGM 100:2008, 7.2.6, from memory: at most two significant digits."""
    rounded = rounded_uncertainty(uncertainty)
    assert rounded == pytest.approx(uncertainty, rel=0.0501)
    assert rounded == float(f"{rounded:.1e}")


@pytest.mark.parametrize(
    ("readings", "mean", "deviation"),
    # NIST StRD, univariate: NumAcc1 to NumAcc4, certified values.
    [
        ((10000001.0, 10000003.0, 10000002.0), 10000002.0, 1.0),
        ((1.2, *(1.1, 1.3) * 500), 1.2, 0.1),
        ((1000000.2, *(1000000.1, 1000000.3) * 500), 1000000.2, 0.1),
        ((10000000.2, *(10000000.1, 10000000.3) * 500), 10000000.2, 0.1),
    ],
    ids=["NumAcc1", "NumAcc2", "NumAcc3", "NumAcc4"],
)
def test_repeated_readings_keep_their_digits(
    readings: tuple[float, ...], mean: float, deviation: float
) -> None:
    found = mean_of(readings, source="repeats")
    assert found.value == pytest.approx(mean, rel=1e-15)
    assert found.standard_uncertainty * sqrt(len(readings)) == pytest.approx(deviation, rel=1e-8)


@given(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=9))
def test_repeats_agree_with_an_outside_calculator(readings: list[float]) -> None:
    found, reference = mean_of(readings, source="repeats"), GTC.type_a.estimate(readings)
    assert found.value == pytest.approx(GTC.value(reference), abs=1e-9)
    expected = GTC.uncertainty(reference)
    assert found.standard_uncertainty == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_exact_value_has_no_contributions() -> None:
    exact = known(4.0, 0.0, "count")
    assert (exact.effects, exact.contributions, exact.expanded_uncertainty) == ((), (), 0.0)
    assert sum_of(()) == Measured(value=0.0)


@given(value=SIZE, uncertainty=SPREAD)
def test_dividing_by_nought_is_refused(value: float, uncertainty: float) -> None:
    assume(value)
    with pytest.raises(DomainError, match="divisor is 0"):
        quotient(known(value, uncertainty, "a"), Measured(value=0.0))


def test_uncertainty_outside_its_domain_is_refused() -> None:
    with pytest.raises(DomainError, match="uncertainty from scale is -1"):
        known(1.0, -1.0, "scale")
    with pytest.raises(DomainError, match="uncertainty is nan"):
        rounded_uncertainty(float("nan"))
    with pytest.raises(DomainError, match="measured value"):
        Measured(value=float("inf"))
    with pytest.raises(DomainError, match="effect of scale"):
        Effect(source="scale", signed_uncertainty=float("nan"))
    twice = (Effect(source="scale", signed_uncertainty=1.0),) * 2
    with pytest.raises(DomainError, match="number of repeated readings is 1"):
        mean_of((1.0,), source="repeats")
    with pytest.raises(DomainError, match="repeated reading is inf"):
        mean_of((1.0, float("inf")), source="repeats")
    with pytest.raises(DomainError, match="one for each source"):
        Measured(value=1.0, effects=twice)

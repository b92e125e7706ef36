"""Verdicts under simple and guarded acceptance."""

from __future__ import annotations

from math import nextafter
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.conformity import DecisionRule, Limits, Verdict, judge

BAND = Limits(lower=25.5, upper=34.5)
VALUE = st.floats(-1e6, 1e6)
UNCERTAINTY = st.floats(0.0, 1e4)


def simple(value: float | None, limits: Limits = BAND) -> Verdict:
    return judge(value, limits=limits, expanded_uncertainty=None, rule=DecisionRule.SIMPLE)


def guarded(value: float, uncertainty: float | None, limits: Limits = BAND) -> Verdict:
    return judge(value, limits=limits, expanded_uncertainty=uncertainty, rule=DecisionRule.GUARDED)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (25.5, "within"),
        (25.499, "outside"),
        (25.501, "within"),
        (34.5, "within"),
        (34.499, "within"),
        (34.501, "outside"),
        (None, "not_recorded"),
    ],
)
def test_value_on_a_limit_is_within(value: float | None, verdict: str) -> None:
    assert simple(value) == verdict


@pytest.mark.parametrize(
    ("value", "limit"),
    [(0.1 + 0.2, 0.3), (34.500000000000004, 34.5), (1.1 * 3, 3.3), (nextafter(1.875, 2.0), 1.875)],
)
def test_binary_noise_does_not_break_a_limit(value: float, limit: float) -> None:
    assert value > limit
    assert simple(value, Limits(upper=limit)) is Verdict.WITHIN
    assert simple(-value, Limits(lower=-limit)) is Verdict.WITHIN


def test_more_than_noise_breaks_a_limit() -> None:
    assert simple(34.5 * (1 + 2e-9)) is Verdict.OUTSIDE
    assert simple(25.5 * (1 - 2e-9)) is Verdict.OUTSIDE


def test_limit_of_nought_is_exact() -> None:
    assert simple(0.0, Limits(upper=0.0)) is Verdict.WITHIN
    assert simple(1e-12, Limits(upper=0.0)) is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (30.0, "within"),
        (33.5, "within"),
        (33.6, "undecided"),
        (34.5, "undecided"),
        (35.5, "undecided"),
        (35.6, "outside"),
        (26.5, "within"),
        (26.4, "undecided"),
        (24.5, "undecided"),
        (24.4, "outside"),
    ],
)
def test_guard_band_is_the_expanded_uncertainty(value: float, verdict: str) -> None:
    assert guarded(value, 1.0) == verdict


def test_inside_the_limit_is_not_conforming_under_a_guard_band() -> None:
    """JCGM 106:2012 9.5.4, bearing: limit 2, guard band 0.32817, acceptance limit 1.6718."""
    limits = Limits(upper=2.0)
    assert guarded(1.6718, 0.32817, limits) is Verdict.WITHIN
    assert guarded(1.6719, 0.32817, limits) is Verdict.UNDECIDED
    assert simple(1.6719, limits) is Verdict.WITHIN


def test_acceptance_limit_conforms_with_977_per_mille() -> None:
    """JCGM 106, w = U = 2u: a value just accepted conforms with probability 0.97725."""
    standard = 0.25
    accepted = 2.0 - 2 * standard
    assert guarded(accepted, 2 * standard, Limits(upper=2.0)) is Verdict.WITHIN
    assert NormalDist(accepted, standard).cdf(2.0) == pytest.approx(0.97725, abs=5e-6)


def test_value_out_by_the_whole_uncertainty_is_undecided() -> None:
    """At a limit of nought the comparison is exact."""
    assert guarded(1.0, 1.0, Limits(upper=0.0)) is Verdict.UNDECIDED
    assert guarded(nextafter(1.0, 2.0), 1.0, Limits(upper=0.0)) is Verdict.OUTSIDE


def test_uncertainty_wider_than_the_band_never_conforms() -> None:
    assert guarded(30.0, 5.0) is Verdict.UNDECIDED


def test_guarded_rule_without_uncertainty_decides_nothing() -> None:
    assert guarded(30.0, None) is Verdict.UNDECIDED
    assert guarded(99.0, None) is Verdict.UNDECIDED
    assert guarded(30.0, 0.0) is Verdict.WITHIN


@given(value=VALUE, uncertainty=UNCERTAINTY, first=VALUE, second=VALUE)
def test_guarded_never_turns_outside_into_within(
    value: float, uncertainty: float, first: float, second: float
) -> None:
    limits = Limits(lower=min(first, second), upper=max(first, second))
    plain, strict = simple(value, limits), guarded(value, uncertainty, limits)
    assert strict in (plain, Verdict.UNDECIDED)


@given(value=VALUE, narrow=UNCERTAINTY, wide=UNCERTAINTY, limit=VALUE)
def test_more_uncertainty_never_decides_more(
    value: float, narrow: float, wide: float, limit: float
) -> None:
    narrow, wide = sorted((narrow, wide))
    limits = Limits(upper=limit)
    assert guarded(value, wide, limits) in (guarded(value, narrow, limits), Verdict.UNDECIDED)


@given(value=VALUE, limit=VALUE)
def test_guard_of_nought_is_simple_acceptance(value: float, limit: float) -> None:
    limits = Limits(lower=limit)
    assert guarded(value, 0.0, limits) is simple(value, limits)


def test_verdicts_are_stored_by_their_words() -> None:
    words = ["within", "outside", "undecided", "not_recorded", "not_applicable"]
    assert [verdict.value for verdict in Verdict] == words
    assert [rule.value for rule in DecisionRule] == ["simple", "guarded"]


def test_band_about_an_expected_value() -> None:
    band = Limits.about(1.5, below_pct=10.0, above_pct=20.0)
    assert band.lower == pytest.approx(1.35)
    assert band.upper == pytest.approx(1.80)
    assert Limits.about(1.0, below_pct=15.0, above_pct=None) == Limits(lower=0.85)


def test_judging_refuses_figures_outside_their_domain() -> None:
    with pytest.raises(DomainError, match="finite"):
        simple(float("nan"))
    with pytest.raises(DomainError, match="uncertainty"):
        guarded(30.0, -0.1)
    with pytest.raises(DomainError, match="uncertainty"):
        guarded(30.0, float("nan"))
    with pytest.raises(DomainError, match="pair of limits"):
        simple(30.0, Limits())
    with pytest.raises(DomainError, match="lower limit"):
        Limits(lower=2.0, upper=1.0)
    with pytest.raises(DomainError, match="upper limit"):
        Limits(upper=float("inf"))

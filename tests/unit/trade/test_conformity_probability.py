"""Probability of conformity, against JCGM 106:2012, an outside library and a numerical integral."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from qa.errors import DomainError
from qa.trade.conformity import DecisionRule, Limits, Verdict, judge
from qa.trade.conformity_probability import conformity_probability


@pytest.mark.parametrize(
    ("value", "uncertainty", "limits", "probability"),
    [
        # JCGM 106:2012 7.3.3, from memory: breakdown voltage, prints 0.92.
        (-5.47, 0.05, Limits(upper=-5.40), 0.9192),
        # The same, example 2, from memory: strength in kPa, prints 0.99.
        (509.7, 8.6, Limits(lower=490.0), 0.9890),
        # JCGM 106:2012, from memory: viscosity of oil, prints 0.66.
        (13.6, 1.8, Limits(lower=12.5, upper=16.3), 0.6626),
        # Guard band w = U: a value at the acceptance limit.
        (18.0 - 2 * 0.6, 0.6, Limits(upper=18.0), 0.97725),
        # 95 % one-sided: 1.6449 u.
        (18.0 - 1.6449 * 0.6, 0.6, Limits(upper=18.0), 0.95),
        # Simple acceptance, a value on its limit.
        (18.0, 0.6, Limits(upper=18.0), 0.5),
    ],
)
def test_probability_is_that_of_the_guide(
    value: float, uncertainty: float, limits: Limits, probability: float
) -> None:
    found = conformity_probability(value, standard_uncertainty=uncertainty, limits=limits)
    assert found == pytest.approx(probability, abs=5e-5)


@given(value=st.floats(-50, 50), uncertainty=st.floats(0.1, 20), half=st.floats(0.1, 20))
def test_two_sided_probability_agrees_with_an_outside_library(
    value: float, uncertainty: float, half: float
) -> None:
    limits = Limits(lower=-half, upper=half)
    normal = stats.norm(value, uncertainty)
    expected = normal.cdf(half) - normal.cdf(-half)
    found = conformity_probability(value, standard_uncertainty=uncertainty, limits=limits)
    assert found == pytest.approx(expected, abs=1e-12)


@given(value=st.floats(-100, 100), uncertainty=st.floats(1e-3, 100), limit=st.floats(-100, 100))
def test_probability_is_one_and_its_opposite(
    value: float, uncertainty: float, limit: float
) -> None:
    below = conformity_probability(
        value, standard_uncertainty=uncertainty, limits=Limits(upper=limit)
    )
    above = conformity_probability(
        value, standard_uncertainty=uncertainty, limits=Limits(lower=limit)
    )
    assert below + above == pytest.approx(1.0)


def test_small_tail_keeps_its_digits() -> None:
    far = conformity_probability(0.0, standard_uncertainty=1.0, limits=Limits(lower=10, upper=11))
    assert far == pytest.approx(stats.norm.sf(10) - stats.norm.sf(11), rel=1e-9)


@given(value=st.floats(-10, 10), uncertainty=st.floats(0.01, 5))
def test_guarded_acceptance_conforms_with_977_per_mille(value: float, uncertainty: float) -> None:
    """JCGM 106, w = U = 2u: what a guard band accepts conforms with 0.97725 or more."""
    limits = Limits(upper=3.0)
    verdict = judge(
        value, limits=limits, expanded_uncertainty=2 * uncertainty, rule=DecisionRule.GUARDED
    )
    found = conformity_probability(value, standard_uncertainty=uncertainty, limits=limits)
    if verdict is Verdict.WITHIN:
        assert found >= 0.97724
    elif verdict is Verdict.OUTSIDE:
        assert found <= 0.02276
    else:
        assert 0.0227 <= found <= 0.9773


def test_exact_value_conforms_or_does_not() -> None:
    limits = Limits(upper=0.0)
    assert conformity_probability(0.0, standard_uncertainty=0.0, limits=limits) == 1.0
    assert conformity_probability(1e-9, standard_uncertainty=0.0, limits=limits) == 0.0


def test_bearing_of_the_guide_is_accepted_at_its_own_risk() -> None:
    """JCGM 106:2012 9.5.4, bearing run-out, by numerical integral: limit 2 µm, u 0.25 µm.

    The product follows a gamma distribution (a = 4, scale 1/4). The consumer's risk is the
    integral, beyond the limit, of its density times the probability of reading an acceptance.
    """
    product = stats.gamma(4, scale=0.25)

    def risk(guard: float) -> float:
        def accepted_though_bad(true: float) -> float:
            reads_good = conformity_probability(
                true, standard_uncertainty=0.25, limits=Limits(upper=2.0 - guard)
            )
            return float(product.pdf(true)) * reads_good

        return float(integrate.quad(accepted_though_bad, 2.0, 6.0)[0])

    assert float(product.sf(2.0)) == pytest.approx(0.04238, abs=5e-6)
    assert risk(0.0) == pytest.approx(0.00802, abs=5e-6)
    assert risk(0.32817) == pytest.approx(0.001, abs=5e-6)


def test_probability_refuses_figures_outside_its_domain() -> None:
    with pytest.raises(DomainError, match="standard uncertainty"):
        conformity_probability(1.0, standard_uncertainty=-1.0, limits=Limits(upper=1.0))
    with pytest.raises(DomainError, match="pair of limits"):
        conformity_probability(1.0, standard_uncertainty=1.0, limits=Limits())
    with pytest.raises(DomainError, match="finite"):
        conformity_probability(float("nan"), standard_uncertainty=1.0, limits=Limits(upper=1.0))

"""Charts of individuals and moving averages against published examples."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from qa.errors import DomainError
from qa.trade.control_charts import D2, D3_OF_RANGE, D4, E2, ewma_chart, individuals_charts
from qa.trade.run_rules import RunRule

TYRES = (
    *(24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.10, 23.98, 24.03),
    *(23.91, 24.06, 24.06, 23.96, 23.98, 24.06, 24.01, 24.00, 23.93, 23.92),
    *(24.09, 24.11, 24.05, 23.98, 23.98, 24.06, 24.02, 24.06, 23.97, 23.96),
)
JETS = (
    *(78.4, 80.1, 84.4, 79.1, 80.4, 83.5, 73.8, 83.5, 75.0, 76.8),
    *(70.5, 80.3, 82.4, 79.4, 86.4, 90.5, 77.7, 82.5, 79.9, 83.2),
)
FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
EWMA_VALUES = (
    *(52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5),
    *(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
)


def test_constants_are_the_exact_ones() -> None:
    """2/sqrt(pi) and its kin; 2.66 and 3.267 of the hand tables are these, rounded."""
    assert pytest.approx(1.1283792, abs=5e-8) == D2
    assert pytest.approx(0.8525025, abs=5e-8) == D3_OF_RANGE
    assert pytest.approx(2.6586808, abs=5e-8) == E2
    assert pytest.approx(3.2665319, abs=5e-8) == D4


def test_constants_are_those_of_normal_figures() -> None:
    """scipy: the range of two normal figures is that of a half-normal of scale sqrt(2)."""
    of_range = stats.halfnorm(scale=sqrt(2.0))
    assert pytest.approx(of_range.mean()) == D2
    assert pytest.approx(of_range.std()) == D3_OF_RANGE
    mean, _ = integrate.quad(lambda r: r * stats.norm.pdf(r / sqrt(2.0)) * sqrt(2.0), 0.0, 30.0)
    assert mean == pytest.approx(2.0 / sqrt(pi))


def test_tyres_give_the_published_limits() -> None:
    """SAS/QC documentation, example of individuals and moving ranges of 30 tyres."""
    charts = individuals_charts(TYRES)
    assert charts.individuals.centre == pytest.approx(24.0083, abs=5e-5)
    assert charts.individuals.lower[0] == pytest.approx(23.8571, abs=5e-5)
    assert charts.individuals.upper[0] == pytest.approx(24.1596, abs=5e-5)
    assert charts.individuals.sigmas[0] == pytest.approx(0.050423, abs=5e-7)
    assert charts.moving_ranges.centre == pytest.approx(0.056897, abs=5e-7)
    assert charts.moving_ranges.upper[0] == pytest.approx(0.18585, abs=5e-6)
    assert charts.individuals.beyond == charts.moving_ranges.beyond == ()


def test_rounded_constant_would_miss_the_published_limit() -> None:
    """The same example: 3.267 gives 0.18588 where 0.18585 is printed."""
    centre = individuals_charts(TYRES).moving_ranges.centre
    assert 3.267 * centre == pytest.approx(0.18588, abs=5e-6)
    assert individuals_charts(TYRES).moving_ranges.upper[0] == pytest.approx(0.18585, abs=5e-6)


def test_flow_rate_gives_the_handbooks_limits() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.2, from memory; printed with d2 = 1.128."""
    charts = individuals_charts(FLOW)
    assert charts.moving_ranges.points == pytest.approx(
        (2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5)
    )
    assert charts.individuals.centre == pytest.approx(50.81)
    assert charts.moving_ranges.centre == pytest.approx(1.8778, abs=5e-5)
    assert charts.individuals.upper[0] == pytest.approx(55.8041, abs=2e-3)
    assert charts.individuals.lower[0] == pytest.approx(45.8159, abs=2e-3)


def test_jets_stay_within_their_limits() -> None:
    """Data of a SAS/QC example program (SHWIR1); limits computed with exact constants."""
    charts = individuals_charts(JETS)
    assert charts.individuals.centre == pytest.approx(80.390)
    assert charts.moving_ranges.centre == pytest.approx(5.32632, abs=5e-6)
    assert charts.individuals.sigmas[0] == pytest.approx(4.72032, abs=5e-6)
    assert charts.individuals.lower[0] == pytest.approx(66.2290, abs=5e-5)
    assert charts.individuals.upper[0] == pytest.approx(94.5510, abs=5e-5)
    assert charts.moving_ranges.upper[0] == pytest.approx(17.3986, abs=5e-5)
    assert charts.individuals.beyond == charts.moving_ranges.beyond == ()


def test_textbook_sums_give_the_textbooks_limits() -> None:
    """Montgomery & Runger, exercise 15-17: 20 figures, sum 1061, ranges sum 56 (2.66, 3.267)."""
    mean, mean_range = 1061 / 20, 56 / 19
    assert mean + E2 * mean_range == pytest.approx(60.888, abs=5e-3)
    assert mean - E2 * mean_range == pytest.approx(45.212, abs=5e-3)
    assert D4 * mean_range == pytest.approx(9.628, abs=2e-3)


def test_moving_average_follows_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.4, from memory."""
    chart = ewma_chart(EWMA_VALUES, target=50.0, sigma=2.0539, weight=0.3)
    printed = (
        *(50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33),
        *(50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99),
    )
    assert chart.points == pytest.approx(printed, abs=0.0051)
    assert chart.upper == pytest.approx((52.5884,) * 20, abs=5e-5)
    assert chart.lower == pytest.approx((47.4116,) * 20, abs=5e-5)
    assert chart.signals == ()


def test_limits_of_first_averages_are_narrower() -> None:
    """At the first point weight * sigma, the spread of one weighted figure."""
    chart = ewma_chart(EWMA_VALUES, target=50.0, sigma=2.0539, weight=0.3, limits_settle=True)
    assert chart.sigmas[0] == pytest.approx(0.3 * 2.0539)
    assert chart.sigmas == tuple(sorted(chart.sigmas))
    assert chart.upper[-1] == pytest.approx(52.5884, abs=1e-3)


def test_drift_shows_in_the_average_before_the_figures() -> None:
    drifted = [50.0 + 1.5 * (n >= 10) for n in range(30)]
    assert ewma_chart(drifted, target=50.0, sigma=1.0).beyond[0] >= 10
    assert ewma_chart(drifted, target=50.0, sigma=1.0, weight=1.0).beyond == ()


FIGURES = st.lists(st.integers(-400, 400).map(lambda n: n / 8.0), min_size=2, max_size=40)


@given(values=FIGURES, shift=st.integers(-1_000_000, 1_000_000))
def test_shift_moves_limits_and_keeps_signals(values: list[float], shift: int) -> None:
    before = individuals_charts(values).individuals
    after = individuals_charts([value + shift for value in values]).individuals
    assert after.signals == before.signals
    assert after.centre - shift == pytest.approx(before.centre, abs=1e-8)
    assert after.sigmas == pytest.approx(before.sigmas)


@given(values=FIGURES, scale=st.sampled_from([0.25, 2.0, 1024.0, -4.0]))
def test_another_unit_keeps_the_signals(values: list[float], scale: float) -> None:
    before = individuals_charts(values).individuals
    after = individuals_charts([value * scale for value in values]).individuals
    assert set(after.signals) == set(before.signals)


@pytest.mark.parametrize("offset", [0.0, 1_000_000.0, 10_000_000.0])
def test_mean_and_range_survive_a_large_offset(offset: float) -> None:
    """NIST StRD NumAcc2 to 4: mean offset + 0.2; neighbours differ by 0.2, the first by 0.1."""
    values = [offset + 0.2, *[offset + 0.1, offset + 0.3] * 500]
    charts = individuals_charts(values)
    assert charts.individuals.centre == pytest.approx(offset + 0.2, abs=2e-9)
    assert charts.moving_ranges.centre == pytest.approx((0.1 + 999 * 0.2) / 1000, abs=5e-9)


def test_equal_figures_leave_no_signal_of_spread() -> None:
    chart = individuals_charts((1.5,) * 8).individuals
    assert chart.lower == chart.upper == (1.5,) * 8
    assert chart.signals == ()


def test_far_figure_is_a_signal_in_both_charts() -> None:
    charts = individuals_charts((*TYRES, 24.30))
    assert charts.individuals.beyond == (30,)
    assert charts.moving_ranges.beyond == (29,)
    assert {signal.rule for signal in charts.moving_ranges.signals} == {RunRule.BEYOND_3_SIGMA}


@pytest.mark.parametrize("values", [(), (1.0,), (1.0, float("nan")), (1.0, float("inf"))])
def test_individuals_need_two_finite_figures(values: tuple[float, ...]) -> None:
    with pytest.raises(DomainError):
        individuals_charts(values)


@pytest.mark.parametrize(
    ("values", "target", "sigma", "weight"),
    [
        ((), 50.0, 1.0, 0.3),
        ((50.0,), float("nan"), 1.0, 0.3),
        ((50.0,), 50.0, 0.0, 0.3),
        ((50.0,), 50.0, 1.0, 0.0),
        ((50.0,), 50.0, 1.0, 1.01),
    ],
)
def test_moving_average_refuses_figures_out_of_range(
    values: tuple[float, ...], target: float, sigma: float, weight: float
) -> None:
    with pytest.raises(DomainError):
        ewma_chart(values, target=target, sigma=sigma, weight=weight)

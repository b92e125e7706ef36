"""Correlated quantities, against the GUM's examples H.2 and H.3 and an outside calculator."""

from __future__ import annotations

from math import cos, fsum, sin, sqrt
from statistics import correlation as sample_r
from statistics import fmean, stdev

import GTC
import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.correlation import correlated, correlation
from qa.trade.uncertainty import Measured, function_of, sum_of

VOLT = (5.007, 4.994, 5.005, 4.990, 4.999)
MILLIAMPERE = (19.663, 19.639, 19.640, 19.685, 19.678)
PHASE = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


def impedance(*, with_correlation: bool) -> tuple[Measured, Measured, Measured]:
    """JCGM 100:2008 H.2: resistance, reactance and impedance from simultaneous readings."""
    series = (VOLT, tuple(i / 1000 for i in MILLIAMPERE), PHASE)
    matrix = [
        [sample_r(a, b) if with_correlation or a is b else 0.0 for b in series] for a in series
    ]
    v, i, phi = correlated(
        [fmean(each) for each in series],
        source="run",
        uncertainties=[stdev(each) / sqrt(len(each)) for each in series],
        coefficients=matrix,
    )
    z = v.value / i.value
    c, s = cos(phi.value), sin(phi.value)
    by_v, by_i = 1.0 / i.value, -z / i.value
    return (
        function_of(z * c, (v, by_v * c), (i, by_i * c), (phi, -z * s)),
        function_of(z * s, (v, by_v * s), (i, by_i * s), (phi, z * c)),
        function_of(z, (v, by_v), (i, by_i)),
    )


def test_correlated_readings_of_the_gum_come_out() -> None:
    r, x, z = impedance(with_correlation=True)
    assert [each.value for each in (r, x, z)] == pytest.approx(
        [127.732, 219.847, 254.260], abs=1e-3
    )
    spreads = [each.standard_uncertainty for each in (r, x, z)]
    assert spreads == pytest.approx([0.071, 0.295, 0.236], abs=1e-3)


def test_correlation_of_the_results_follows_too() -> None:
    r, x, z = impedance(with_correlation=True)
    found = [correlation(r, x), correlation(r, z), correlation(x, z)]
    # The GUM prints -0.588, -0.485 and 0.993 (two digits of each are in its text).
    assert found == pytest.approx([-0.59, -0.49, 0.99], abs=6e-3)


def test_neglecting_correlation_gives_another_answer() -> None:
    wrong = impedance(with_correlation=False)
    right = impedance(with_correlation=True)
    for ours, theirs in zip(right, wrong, strict=True):
        assert abs(ours.standard_uncertainty / theirs.standard_uncertainty - 1) > 0.05


def test_correction_of_a_thermometer_is_worse_known_off_its_range() -> None:
    """JCGM 100:2008 H.3: line y = y1 + y2 (t - 20), predicted at 30 °C."""
    t = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
    b = (-171, -169, -166, -159, -164, -165, -156, -157, -159, -161, -160)
    theta = [each - 20.0 for each in t]
    n, sx, sxx = len(t), fsum(theta), fsum(x * x for x in theta)
    sy, sxy = fsum(b) / 1000, fsum(x * y for x, y in zip(theta, b, strict=True)) / 1000
    d = n * sxx - sx * sx
    y1, y2 = (sy * sxx - sxy * sx) / d, (n * sxy - sx * sy) / d
    squares = fsum((y / 1000 - y1 - y2 * x) ** 2 for x, y in zip(theta, b, strict=True))
    s = sqrt(squares / (n - 2))
    intercept, slope = correlated(
        (y1, y2),
        source="fit",
        uncertainties=(s * sqrt(sxx / d), s * sqrt(n / d)),
        coefficients=((1.0, 0.0), (-sx / sqrt(n * sxx), 1.0)),
    )
    assert (intercept.value, slope.value) == pytest.approx((-0.1712, 0.00218), abs=5e-5)
    assert intercept.standard_uncertainty == pytest.approx(0.0029, abs=5e-5)
    assert slope.standard_uncertainty == pytest.approx(0.00067, abs=5e-6)
    assert squares == pytest.approx(1.10097e-4, rel=1e-4)
    assert correlation(intercept, slope) == pytest.approx(-0.93, abs=5e-3)
    at_30 = function_of(intercept.value + 10 * slope.value, (intercept, 1.0), (slope, 10.0))
    assert at_30.value == pytest.approx(-0.1494, abs=5e-5)
    assert at_30.standard_uncertainty == pytest.approx(0.0041, abs=5e-5)


@given(r=st.floats(-1, 1), ua=st.floats(0.01, 10), ub=st.floats(0.01, 10))
def test_sum_agrees_with_an_outside_calculator(r: float, ua: float, ub: float) -> None:
    pair = correlated((1.0, 2.0), source="x", uncertainties=(ua, ub), coefficients=((1, 0), (r, 1)))
    a, b = GTC.ureal(1.0, ua, independent=False), GTC.ureal(2.0, ub, independent=False)
    GTC.set_correlation(r, a, b)
    expected = GTC.uncertainty(a + b)
    assert sum_of(pair).standard_uncertainty == pytest.approx(expected, abs=1e-6)


def test_full_correlation_is_one_source() -> None:
    pair = correlated(
        (1.0, 2.0), source="scale", uncertainties=(0.3, 0.4), coefficients=((1, 1), (1, 1))
    )
    assert sum_of(pair).standard_uncertainty == pytest.approx(0.7)
    assert correlation(*pair) == pytest.approx(1.0)
    assert correlation(pair[0], Measured(value=1.0)) == 0.0


def test_contradicting_coefficients_are_refused() -> None:
    contradiction = ((1.0, 0, 0), (0.9, 1.0, 0), (0.9, -0.9, 1.0))
    with pytest.raises(DomainError, match="row 3 of the correlations"):
        correlated((1, 1, 1), source="x", uncertainties=(1, 1, 1), coefficients=contradiction)

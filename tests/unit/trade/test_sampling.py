"""Sample sizes and chances against exact counts and an independent library."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from qa.errors import DomainError
from qa.trade.sampling import (
    operating_characteristic,
    probability_found,
    probability_passed,
    zero_acceptance_size,
)


@pytest.mark.parametrize(
    ("lot_size", "bad", "size", "missed"),
    [
        (20, 1, 19, 0.05),
        (20, 2, 16, 0.03158),
        (50, 1, 48, 0.04),
        (50, 5, 22, 0.04639),
        (100, 5, 45, 0.04621),
        (100, 10, 25, 0.04789),
        (200, 10, 51, 0.04862),
        (40, 4, 21, 0.04241),
    ],
)
def test_smallest_sample_misses_no_more_than_the_risk(
    lot_size: int, bad: int, size: int, missed: float
) -> None:
    """Hypergeometric chances, exact; 1 of 20 missed by 19 is 5 % to the last digit."""
    assert zero_acceptance_size(lot_size=lot_size, bad=bad) == size
    none = probability_found(lot_size=lot_size, bad=bad, sample=size, found=0)
    assert float(none) == pytest.approx(missed, abs=5e-6)
    assert none <= Fraction(1, 20)
    assert probability_found(lot_size=lot_size, bad=bad, sample=size - 1, found=0) > Fraction(1, 20)


def test_one_less_would_miss_too_often() -> None:
    """Of 50 with 5 bad, 21 miss all with 0.05605 (exact)."""
    none = probability_found(lot_size=50, bad=5, sample=21, found=0)
    assert float(none) == pytest.approx(0.05605, abs=5e-6)


def test_chances_of_a_small_lot_are_exact_fractions() -> None:
    """N = 10, D = 3, n = 4, counted by hand."""
    chances = [probability_found(lot_size=10, bad=3, sample=4, found=k) for k in range(5)]
    assert chances == [Fraction(1, 6), Fraction(1, 2), Fraction(3, 10), Fraction(1, 30), 0]


LOTS = st.integers(1, 80).flatmap(
    lambda lot: st.tuples(st.just(lot), st.integers(0, lot), st.integers(0, lot))
)


@given(lot=LOTS, accept=st.integers(0, 80))
def test_chances_agree_with_a_statistics_library(lot: tuple[int, int, int], accept: int) -> None:
    """scipy.stats.hypergeom."""
    lot_size, bad, sample = lot
    found = stats.hypergeom(lot_size, bad, sample)
    for k in range(sample + 1):
        ours = probability_found(lot_size=lot_size, bad=bad, sample=sample, found=k)
        assert float(ours) == pytest.approx(found.pmf(k), abs=1e-9)
    passed = probability_passed(lot_size=lot_size, bad=bad, sample=sample, accept=accept)
    assert float(passed) == pytest.approx(found.cdf(accept), abs=1e-9)


@given(lot=LOTS)
def test_chances_of_all_numbers_found_make_one(lot: tuple[int, int, int]) -> None:
    lot_size, bad, sample = lot
    chances = (
        probability_found(lot_size=lot_size, bad=bad, sample=sample, found=k)
        for k in range(sample + 1)
    )
    assert sum(chances) == 1


@given(
    lot_size=st.integers(2, 400), data=st.data(), risk=st.sampled_from([0.01, 0.05, 0.1, 0.2, 0.5])
)
def test_more_bad_items_need_no_larger_sample(
    lot_size: int, data: st.DataObject, risk: float
) -> None:
    bad = data.draw(st.integers(1, lot_size - 1))
    fewer = zero_acceptance_size(lot_size=lot_size, bad=bad, risk=risk)
    more = zero_acceptance_size(lot_size=lot_size, bad=bad + 1, risk=risk)
    larger = zero_acceptance_size(lot_size=lot_size + 1, bad=bad, risk=risk)
    bolder = zero_acceptance_size(lot_size=lot_size, bad=bad, risk=risk * 1.5)
    assert 1 <= more <= fewer <= larger
    assert bolder <= fewer


def test_smallest_sample_of_a_large_lot_comes_at_once() -> None:
    assert zero_acceptance_size(lot_size=1_000_000, bad=100) == 29_512


def test_operating_characteristic_is_the_handbooks() -> None:
    """NIST/SEMATECH e-Handbook 6.2.3.2, n = 52, c = 3, from memory; its hand table is off by 1."""
    passed = (0.998, 0.980, 0.930, 0.846, 0.738, 0.620, 0.502, 0.394, 0.300, 0.223, 0.162, 0.115)
    shares = [per_cent / 100.0 for per_cent in range(1, 13)]
    points = operating_characteristic(sample=52, accept=3, shares_bad=shares)
    assert [point.share_bad for point in points] == shares
    assert [point.passed for point in points] == pytest.approx(passed, abs=0.001)


@given(
    sample=st.integers(1, 2000),
    accept=st.integers(0, 60),
    shares=st.lists(st.floats(0.0, 1.0), min_size=1, max_size=6),
)
def test_characteristic_agrees_with_a_statistics_library(
    sample: int, accept: int, shares: list[float]
) -> None:
    """scipy.stats.binom."""
    for point in operating_characteristic(sample=sample, accept=accept, shares_bad=shares):
        expected = stats.binom.cdf(accept, sample, point.share_bad)
        assert point.passed == pytest.approx(expected, abs=1e-9)


@given(
    sample=st.integers(1, 300),
    accept=st.integers(0, 20),
    one=st.floats(0.0, 1.0),
    other=st.floats(0.0, 1.0),
)
def test_worse_work_never_passes_more_often(
    sample: int, accept: int, one: float, other: float
) -> None:
    better, worse = operating_characteristic(
        sample=sample, accept=accept, shares_bad=sorted((one, other))
    )
    assert worse.passed <= better.passed + 1e-12
    (laxer,) = operating_characteristic(sample=sample, accept=accept + 1, shares_bad=(one,))
    (same,) = operating_characteristic(sample=sample, accept=accept, shares_bad=(one,))
    assert same.passed <= laxer.passed + 1e-12


@settings(max_examples=30)
@given(sample=st.integers(1, 30), accept=st.integers(0, 5))
def test_large_lot_is_nearly_binomial(sample: int, accept: int) -> None:
    of_lot = probability_passed(lot_size=100_000, bad=10_000, sample=sample, accept=accept)
    (point,) = operating_characteristic(sample=sample, accept=accept, shares_bad=(0.1,))
    assert float(of_lot) == pytest.approx(point.passed, abs=1e-3)


@pytest.mark.parametrize(
    ("lot_size", "bad", "risk"),
    [
        (0, 1, 0.05),
        (20, 0, 0.05),
        (20, 21, 0.05),
        (20, 2, 0.0),
        (20, 2, 1.0),
        (20, 2, float("nan")),
    ],
)
def test_sample_size_refuses_figures_out_of_range(lot_size: int, bad: int, risk: float) -> None:
    with pytest.raises(DomainError):
        zero_acceptance_size(lot_size=lot_size, bad=bad, risk=risk)


@pytest.mark.parametrize(
    ("lot_size", "bad", "sample", "found"),
    [(0, 0, 0, 0), (10, 11, 4, 0), (10, 3, 11, 0), (10, 3, 4, -1), (10, -1, 4, 0)],
)
def test_chance_refuses_figures_out_of_range(
    lot_size: int, bad: int, sample: int, found: int
) -> None:
    with pytest.raises(DomainError):
        probability_found(lot_size=lot_size, bad=bad, sample=sample, found=found)


@pytest.mark.parametrize(
    ("sample", "accept", "share"), [(0, 0, 0.1), (5, -1, 0.1), (5, 0, -0.1), (5, 0, 1.1)]
)
def test_characteristic_refuses_figures_out_of_range(
    sample: int, accept: int, share: float
) -> None:
    with pytest.raises(DomainError):
        operating_characteristic(sample=sample, accept=accept, shares_bad=(share,))

"""The cure clock: closed form, gaps, zones."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from random import Random
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from qa.errors import DomainError
from qa.trade.cure import CureHours, CureRate, equivalent_hours

RATE = CureRate(doubling_k=10.0, floor_c=5.0, reference_c=20.0, longest_gap_h=2.0)
NOON = datetime(2026, 5, 12, 12, tzinfo=UTC)
Log = list[tuple[datetime, float]]


def after(hours: float) -> datetime:
    return NOON + timedelta(hours=hours)


def cure(readings: Log, start: datetime, end: datetime) -> CureHours:
    return equivalent_hours(readings, start=start, end=end, rate=RATE)


@st.composite
def logs(draw: st.DrawFn) -> Log:
    """Readings at whole minutes, some farther apart than the longest gap."""
    minutes = draw(st.lists(st.integers(0, 24 * 60), max_size=12))
    return [(NOON + timedelta(minutes=m), draw(st.floats(-10.0, 40.0))) for m in minutes]


@pytest.mark.parametrize(
    ("deck_c", "per_hour"),
    [(20.0, 1.0), (30.0, 2.0), (10.0, 0.5), (5.0, 2**-1.5), (4.999, 0.0), (-3.0, 0.0)],
)
def test_steady_temperature_counts_by_its_rate(deck_c: float, per_hour: float) -> None:
    """Rate doubling every 10 K, none below 5 °C (project choice)."""
    readings = [(after(h), deck_c) for h in range(5)]
    assert cure(readings, NOON, after(4)).equivalent_h == pytest.approx(4 * per_hour)


@pytest.mark.parametrize(
    ("from_c", "to_c"), [(10.0, 20.0), (20.0, 10.0), (12.0, 12.000001), (0.0, 15.0), (15.0, -5.0)]
)
def test_sloping_temperature_agrees_with_numeric_integration(from_c: float, to_c: float) -> None:
    """scipy's adaptive quadrature, told where the floor is crossed."""

    def rate_at(hour: float) -> float:
        deck_c = from_c + (to_c - from_c) * hour / 2.0
        return 2.0 ** ((deck_c - 20.0) / 10.0) if deck_c >= 5.0 else 0.0

    crossing = min(max(2.0 * (5.0 - from_c) / (to_c - from_c), 0.0), 2.0)
    expected, _ = quad(rate_at, 0.0, 2.0, points=[crossing])
    found = cure([(NOON, from_c), (after(2), to_c)], NOON, after(2))
    assert found.equivalent_h == pytest.approx(expected, rel=1e-9)


def test_readings_outside_still_serve_to_interpolate() -> None:
    readings = [(after(-1), 10.0), (after(1), 30.0)]
    found = cure(readings, NOON, after(0.5))
    whole = cure([(NOON, 20.0), (after(0.5), 25.0)], NOON, after(0.5))
    assert found.equivalent_h == pytest.approx(whole.equivalent_h)
    assert found.gaps == ()


def test_gap_is_named_and_counts_nothing() -> None:
    readings = [(NOON, 20.0), (after(2), 20.0), (after(5), 20.0), (after(6), 20.0)]
    found = cure(readings, after(-1), after(7))
    assert found.equivalent_h == pytest.approx(3.0)
    assert (found.covered_h, found.clock_h) == (3.0, 8.0)
    assert [(gap.start, gap.end) for gap in found.gaps] == [
        (after(-1), NOON),
        (after(2), after(5)),
        (after(6), after(7)),
    ]


@pytest.mark.parametrize(("apart_min", "gaps"), [(119, 0), (120, 0), (121, 1)])
def test_longest_gap_itself_is_still_covered(apart_min: int, gaps: int) -> None:
    later = NOON + timedelta(minutes=apart_min)
    assert len(cure([(NOON, 20.0), (later, 20.0)], NOON, later).gaps) == gaps


def test_rounded_longest_gap_still_covers() -> None:
    """A third of an hour, written with ten digits, covers readings 20 minutes apart."""
    rate = CureRate(doubling_k=10.0, floor_c=5.0, reference_c=20.0, longest_gap_h=0.3333333333)
    later = NOON + timedelta(minutes=20)
    found = equivalent_hours([(NOON, 20.0), (later, 20.0)], start=NOON, end=later, rate=rate)
    assert found.gaps == ()


def test_no_readings_leave_the_whole_time_a_gap() -> None:
    found = cure([], NOON, after(3))
    assert (found.equivalent_h, found.covered_h) == (0.0, 0.0)
    assert [(gap.start, gap.end) for gap in found.gaps] == [(NOON, after(3))]


def test_lone_reading_covers_no_time() -> None:
    assert cure([(after(1), 20.0)], NOON, after(2)).covered_h == 0.0


def test_no_time_is_no_cure() -> None:
    assert cure([(NOON, 20.0)], NOON, NOON) == CureHours(
        equivalent_h=0.0, covered_h=0.0, clock_h=0.0, gaps=()
    )


def test_hours_count_through_the_change_of_clocks() -> None:
    """In London 00:30 to 02:30 on 29 March 2026 is one hour; the wall's clock shows two."""
    london = ZoneInfo("Europe/London")
    start = datetime(2026, 3, 29, 0, 30, tzinfo=london)
    end = datetime(2026, 3, 29, 2, 30, tzinfo=london)
    found = cure([(start, 20.0), (end, 20.0)], start, end)
    assert found.clock_h == 1.0
    assert found.equivalent_h == pytest.approx(1.0)


def test_readings_of_one_instant_are_averaged() -> None:
    twice = [(NOON, 15.0), (NOON, 25.0), (after(1), 20.0)]
    assert cure(twice, NOON, after(1)).equivalent_h == pytest.approx(1.0)


@given(readings=logs(), cut_min=st.integers(0, 24 * 60))
def test_cure_adds_over_a_split_of_the_time(readings: Log, cut_min: int) -> None:
    middle = NOON + timedelta(minutes=cut_min)
    whole = cure(readings, NOON, after(24))
    first, second = cure(readings, NOON, middle), cure(readings, middle, after(24))
    assert first.equivalent_h + second.equivalent_h == pytest.approx(whole.equivalent_h, abs=1e-9)
    assert first.covered_h + second.covered_h == pytest.approx(whole.covered_h, abs=1e-9)


@given(readings=logs())
def test_gaps_and_covered_time_make_the_clock(readings: Log) -> None:
    found = cure(readings, NOON, after(24))
    missing_h = sum((gap.end - gap.start) / timedelta(hours=1) for gap in found.gaps)
    assert found.covered_h + missing_h == pytest.approx(found.clock_h)


@given(readings=logs(), order=st.randoms(use_true_random=False))
def test_order_of_the_readings_does_not_matter(readings: Log, order: Random) -> None:
    shuffled = list(readings)
    order.shuffle(shuffled)
    assert cure(shuffled, NOON, after(24)) == cure(readings, NOON, after(24))


def test_cure_clock_refuses_figures_outside_its_domain() -> None:
    with pytest.raises(DomainError, match="later"):
        cure([], NOON, after(-1))
    with pytest.raises(DomainError, match="offset"):
        cure([], NOON.replace(tzinfo=None), after(1))
    with pytest.raises(DomainError, match="time of a reading"):
        cure([(NOON.replace(tzinfo=None), 20.0)], NOON, after(1))
    with pytest.raises(DomainError, match="temperature read"):
        cure([(NOON, float("nan"))], NOON, after(1))
    with pytest.raises(DomainError, match="doubles"):
        CureRate(doubling_k=0.0, floor_c=5.0, reference_c=20.0, longest_gap_h=2.0)
    with pytest.raises(DomainError, match="longest gap"):
        CureRate(doubling_k=10.0, floor_c=5.0, reference_c=20.0, longest_gap_h=0.0)

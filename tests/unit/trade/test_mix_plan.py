"""A day's mixes: every one empty before it can gel."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.specification.loader import built_in
from qa.trade.mix_plan import Crew, Forecast, PlannedMix, plan_mixes

GENERAL = built_in("general-grp/1")
SEVEN = datetime(2026, 5, 12, 7, tzinfo=UTC)
PAIR = Crew(pace_m2_per_h=12.0, first_mix_m2=2.0, largest_mix_kg=10.0)


def plan(
    *temperatures_c: float,
    area_m2: float = 24.0,
    hours: float = 10.0,
    crew: Crew = PAIR,
) -> tuple[PlannedMix, ...]:
    """A plan from seven o'clock on, with one forecast temperature an hour."""
    forecast = [
        Forecast(at=SEVEN + timedelta(hours=hour), deck_c=deck_c)
        for hour, deck_c in enumerate(temperatures_c)
    ]
    return plan_mixes(
        area_m2=area_m2,
        resin_kg_per_m2=1.5,
        crew=crew,
        start=SEVEN,
        end=SEVEN + timedelta(hours=hours),
        forecast=forecast,
        chart=GENERAL.resin_dose.chart,
        gel=GENERAL.gel_time.model,
    )


def even(deck_c: float) -> list[float]:
    return [deck_c] * 11


def test_whole_area_is_laid_in_a_mild_day() -> None:
    mixes = plan(*even(15.0))
    assert sum(mix.m2 for mix in mixes) == pytest.approx(24.0)
    assert sum(mix.kg for mix in mixes) == pytest.approx(36.0)
    assert [mix.number for mix in mixes] == list(range(1, len(mixes) + 1))


def test_first_mix_covers_two_square_metres_at_most() -> None:
    """Common practice, no source: the first mix of a day is a small one."""
    first, second, *_ = plan(*even(21.0))
    assert first.m2 == pytest.approx(2.0)
    assert second.m2 > first.m2


@given(
    temperatures=st.lists(st.floats(0.0, 38.0), min_size=2, max_size=11),
    area_m2=st.floats(0.5, 60.0),
    pace=st.floats(3.0, 40.0),
    largest_kg=st.floats(1.0, 30.0),
)
def test_every_mix_is_empty_before_it_can_gel(
    temperatures: list[float], area_m2: float, pace: float, largest_kg: float
) -> None:
    crew = Crew(pace_m2_per_h=pace, first_mix_m2=2.0, largest_mix_kg=largest_kg)
    mixes = plan(*temperatures, area_m2=area_m2, crew=crew)
    assert sum(mix.m2 for mix in mixes) <= area_m2 * (1 + 1e-9)
    clock = SEVEN
    for mix in mixes:
        assert clock <= mix.starts_at <= mix.emptied_at <= mix.empty_by
        assert mix.empty_by == mix.starts_at + timedelta(minutes=mix.gel.low_min)
        assert mix.kg <= largest_kg + 1e-9
        row = GENERAL.resin_dose.chart.row_at(mix.deck_c)
        assert row is not None
        assert mix.catalyst_ml == pytest.approx(mix.kg * row.target_ml_per_kg)
        clock = mix.emptied_at


def test_rising_warmth_shortens_the_time() -> None:
    """The warmest forecast until the bucket is empty counts, not that of its beginning."""
    steady, warming = plan(*even(14.0)), plan(14.0, 15.9, *even(15.9))
    assert warming[0].deck_c == steady[0].deck_c
    assert warming[0].gel.gel_min < steady[0].gel.gel_min


def test_cold_morning_waits_for_the_chart() -> None:
    """Supplier's published dose chart: it begins at 5 °C; the deck passes that after an hour."""
    mixes = plan(3.0, 5.0, 7.0, *even(9.0))
    assert mixes[0].starts_at == SEVEN + timedelta(hours=1)


def test_no_mix_begins_outside_the_chart_or_the_forecast() -> None:
    assert plan(*even(4.0)) == ()
    assert plan(*even(36.0)) == ()
    assert plan() == ()
    assert plan(12.0) == ()


def test_short_day_leaves_area_over() -> None:
    mixes = plan(*even(15.0), hours=1.0)
    assert sum(mix.m2 for mix in mixes) < 24.0
    assert mixes[-1].emptied_at <= SEVEN + timedelta(hours=1)


def test_bucket_bounds_the_mix() -> None:
    small = Crew(pace_m2_per_h=12.0, first_mix_m2=2.0, largest_mix_kg=2.5)
    assert {round(mix.kg, 6) for mix in plan(*even(15.0), crew=small)[:-1]} == {2.5}


def test_plan_refuses_what_cannot_be_planned() -> None:
    with pytest.raises(DomainError, match="end of the day"):
        plan(*even(15.0), hours=0.0)
    with pytest.raises(DomainError, match="area to be laid"):
        plan(*even(15.0), area_m2=0.0)
    with pytest.raises(DomainError, match="pace"):
        Crew(pace_m2_per_h=0.0, first_mix_m2=2.0, largest_mix_kg=10.0)
    coarse = Crew(pace_m2_per_h=0.5, first_mix_m2=2.0, largest_mix_kg=10.0, weighing_step_kg=5.0)
    with pytest.raises(DomainError, match="pace of the crew"):
        plan(*even(20.0), crew=coarse)
    with pytest.raises(DomainError, match="time of a forecast"):
        Forecast(at=datetime(2026, 5, 12, 7), deck_c=12.0)  # noqa: DTZ001

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from qa.packs.drawing.days import day_span, day_text, days_of, hour_ticks, whole_hours

LONDON, KATHMANDU = ZoneInfo("Europe/London"), ZoneInfo("Asia/Kathmandu")


def test_a_day_is_named_in_english() -> None:
    assert day_text(date(2026, 2, 28)) == "Saturday 28 February 2026"


def test_days_are_those_of_the_jobs_zone() -> None:
    late = datetime(2026, 5, 12, 23, 30, tzinfo=UTC)
    assert days_of([late], LONDON) == (date(2026, 5, 13),)
    assert days_of([late], ZoneInfo("UTC")) == (date(2026, 5, 12),)


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2026, 3, 29), 23), (date(2026, 5, 12), 24), (date(2026, 10, 25), 25)]
)
def test_days_of_clock_changes_have_their_true_length(day: date, hours: int) -> None:
    start, end = day_span(day, LONDON)
    assert end - start == timedelta(hours=hours)


def test_clock_change_repeats_or_leaves_out_an_hour() -> None:
    start, end = day_span(date(2026, 10, 25), LONDON)
    assert [text for _, text in hour_ticks(start, end, LONDON, every=1)].count("01:00") == 2
    start, end = day_span(date(2026, 3, 29), LONDON)
    assert "01:00" not in [text for _, text in hour_ticks(start, end, LONDON, every=1)]


@pytest.mark.parametrize("zone", [LONDON, KATHMANDU], ids=str)
def test_hours_are_whole_on_the_local_clock(zone: ZoneInfo) -> None:
    first = datetime(2026, 5, 12, 8, 10, tzinfo=zone)
    start, end = whole_hours(first, first + timedelta(hours=6), zone)
    assert start.astimezone(zone).minute == 0
    assert start <= first
    assert end >= first + timedelta(hours=6)
    assert next(text for _, text in hour_ticks(start, end, zone, every=1)) == "08:00"


def test_one_moment_still_spans_some_hours() -> None:
    noon = datetime(2026, 5, 12, 12, tzinfo=UTC)
    start, end = whole_hours(noon, noon, LONDON)
    assert end - start == timedelta(hours=4)

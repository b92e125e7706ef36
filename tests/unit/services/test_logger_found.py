"""Times of wet work follow each other, and what a logger read in them is thinned and counted."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from qa.assess.conditions import HUMIDITY
from qa.services.logger_csv import LoggerReading, UnreadRow
from qa.services.logger_found import KEPT_EVERY, LoggerFound, find_in
from qa.services.logger_windows import WetWindow, wet_windows
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL

START = datetime(2026, 5, 12, 7, tzinfo=UTC)
MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
DAY = WetWindow(stage=Stage.LAMINATE, since=START, until=START + 24 * HOUR)
HUMIDITIES = st.lists(st.integers(1, 100), min_size=1, max_size=200)
STAGES = st.sampled_from(("bandage", "laminate", "topcoat"))
MIXES = st.lists(st.tuples(STAGES, st.integers(0, 100)), max_size=8)


def logged(humidities: list[int], *, step: timedelta = MINUTE) -> list[LoggerReading]:
    return [
        LoggerReading(row, START + step * row, 15.0, float(value), None)
        for row, value in enumerate(humidities)
    ]


def found(readings: list[LoggerReading]) -> LoggerFound:
    return find_in(readings, (DAY,), GENERAL)


@given(MIXES)
def test_times_of_wet_work_never_overlap(mixes: list[tuple[str, int]]) -> None:
    builder = RecordBuilder.equipped()
    for number, (stage, hour) in enumerate(mixes):
        lot = "topcoat-1" if stage == "topcoat" else "resin-1"
        at = (START + hour * HOUR).isoformat()
        builder.add("mix", at=at, mix=f"mix-{number}", stage=stage, lot=lot)
    windows = wet_windows(builder.job(), holds=2 * HOUR)
    assert all(one.since < one.until for one in windows)
    assert all(one.until <= other.since for one, other in pairwise(windows))
    assert bool(windows) == bool(mixes)


@given(HUMIDITIES)
def test_extremes_are_kept_and_nothing_twice(humidities: list[int]) -> None:
    chosen = [reading for _, reading in found(logged(humidities)).chosen]
    kept = [one.humidity_pct for one in chosen]
    assert (min(humidities), max(humidities)) == (min(kept), max(kept))  # type: ignore[type-var]
    assert len({one.row for one in chosen}) == len(chosen)
    assert chosen == sorted(chosen, key=lambda one: one.at)


@given(HUMIDITIES)
def test_one_reading_of_every_quarter_is_kept(humidities: list[int]) -> None:
    readings = logged(humidities)
    quarters = {(one.at - START) // KEPT_EVERY for one in readings}
    chosen = [reading for _, reading in found(readings).chosen]
    assert {(one.at - START) // KEPT_EVERY for one in chosen} == quarters
    assert len(chosen) <= len(quarters) + 4


@given(HUMIDITIES)
def test_every_reading_outside_its_limit_is_counted(humidities: list[int]) -> None:
    upper = GENERAL.checks[HUMIDITY].limits.upper
    assert upper is not None
    count = next(one for one in found(logged(humidities)).limits if one.check == HUMIDITY)
    assert (count.read, count.outside) == (len(humidities), sum(v > upper for v in humidities))


def test_readings_outside_wet_work_are_left_out() -> None:
    readings = logged([50] * 100, step=HOUR)
    assert (found(readings).readings, found(readings).in_work) == (100, 24)


def test_gap_and_clock_set_back_are_told() -> None:
    ats = (0, 1, 2, 3, 60, 61, 30)
    readings = [LoggerReading(at, START + at * MINUTE, 15.0, None, None) for at in ats]
    told = found(readings)
    assert [(gap.since, gap.until) for gap in told.gaps] == [
        (START + 3 * MINUTE, START + 60 * MINUTE)
    ]
    assert (told.set_back, told.step, told.last) == (1, MINUTE, START + 61 * MINUTE)


def test_lines_that_cannot_be_read_are_counted_with_the_first() -> None:
    told = find_in([UnreadRow(4, "is odd"), UnreadRow(9, "is odd")], (DAY,), GENERAL)
    assert (told.readings, told.unread, told.unread_first) == (0, 2, UnreadRow(4, "is odd"))

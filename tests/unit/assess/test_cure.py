"""Between laminate and topcoat, and the dry hours at the end."""

from __future__ import annotations

from datetime import timedelta

import pytest

from qa.trade.conformity import Verdict
from tests.factories import FIRST_MORNING, RecordBuilder
from tests.unit.assess.sound_job import equipped, findings, only

IN, OUT, SILENT = Verdict.WITHIN, Verdict.OUTSIDE, Verdict.NOT_RECORDED
START = FIRST_MORNING + timedelta(hours=2)


def topcoated(after: timedelta, *, deck_c: float = 20, every_h: float | None = 2) -> RecordBuilder:
    """Laminated at `START`, topcoated `after` it, with the deck read every so many hours."""
    builder = equipped()
    builder.add("mix", at=START, deck_c=deck_c, catalyst_ml=50)
    if every_h is not None:
        moment = START
        while moment < START + after:
            builder.add("conditions", at=moment, area="main", deck_c=deck_c)
            moment += timedelta(hours=every_h)
    builder.add("mix", at=START + after, stage="topcoat", lot="topcoat-1", deck_c=deck_c)
    return builder


SECOND = timedelta(seconds=1)


@pytest.mark.parametrize(
    ("after", "verdict"),
    # 3 equivalent hours at 20 °C: project choice.
    [
        (timedelta(hours=3) - SECOND, OUT),
        (timedelta(hours=3), IN),
        (timedelta(hours=3) + SECOND, IN),
    ],
)
def test_laminate_cures_three_hours_at_twenty_degrees(after: timedelta, verdict: Verdict) -> None:
    found = only(topcoated(after), "topcoat.interval", subject="equivalent hours")
    assert found.value == pytest.approx(after / timedelta(hours=1))
    assert (found.lower, found.verdict) == (3, verdict)


@pytest.mark.parametrize(("deck_c", "share"), [(10, 0.5), (20, 1), (30, 2), (4.9, 0)])
def test_rate_doubles_every_ten_kelvin(deck_c: float, share: float) -> None:
    # None below 5 °C; both project choice.
    builder = topcoated(timedelta(hours=4), deck_c=deck_c)
    found = only(builder, "topcoat.interval", subject="equivalent hours")
    assert found.value == pytest.approx(4 * share)


@pytest.mark.parametrize(
    ("after", "verdict"),
    # 72 clock hours: project choice.
    [
        (timedelta(hours=72) - SECOND, IN),
        (timedelta(hours=72), IN),
        (timedelta(hours=72) + SECOND, OUT),
    ],
)
def test_topcoat_comes_within_three_days(after: timedelta, verdict: Verdict) -> None:
    found = only(topcoated(after, every_h=None), "topcoat.interval", subject="clock hours")
    assert (found.upper, found.verdict) == (72, verdict)


def test_clock_runs_from_mix_to_mix() -> None:
    builder = equipped()
    emptied = (START + timedelta(hours=1)).isoformat()
    builder.add("mix", at=START, emptied_at=emptied)
    builder.add("mix", at=START + timedelta(hours=5), stage="topcoat", lot="topcoat-1")
    assert only(builder, "topcoat.interval", subject="clock hours").value == 5


def test_hours_without_readings_are_never_guessed() -> None:
    builder = topcoated(timedelta(hours=12), every_h=None)
    found = only(builder, "topcoat.interval", subject="equivalent hours")
    assert (found.value, found.verdict) == (0, Verdict.UNDECIDED)
    assert "No readings: 12 May 2026, 09:00 to 12 May 2026, 21:00." in found.exact


def test_enough_hours_with_gaps_are_enough() -> None:
    builder = topcoated(timedelta(hours=3.5))
    builder.entries.pop()
    builder.add("mix", at=START + timedelta(hours=12), stage="topcoat", lot="topcoat-1")
    builder.add("conditions", at=START + timedelta(hours=4), area="main", deck_c=20)
    found = only(builder, "topcoat.interval", subject="equivalent hours")
    assert found.verdict is IN
    assert "No readings" in found.exact


def test_topcoat_before_the_laminate_is_outside() -> None:
    found = only(topcoated(-timedelta(hours=1)), "topcoat.interval", subject="equivalent hours")
    assert (found.value, found.verdict) == (0, OUT)


def test_interval_without_mixes_is_not_recorded() -> None:
    assert only(equipped(), "topcoat.interval").verdict is SILENT


def test_days_are_counted_over_the_change_of_clocks() -> None:
    # 25 October 2026: clocks in Europe/London go back one hour (IANA time zones).
    builder = equipped()
    builder.add("mix", at="2026-10-24T12:00:00+01:00")
    builder.add("mix", at="2026-10-25T12:00:00+00:00", stage="topcoat", lot="topcoat-1")
    assert only(builder, "topcoat.interval", subject="clock hours").value == 25


def finished(*looks: tuple[float, bool]) -> RecordBuilder:
    """Topcoated at `START`, with looks at the sky so many hours later."""
    builder = equipped()
    builder.add("mix", at=START, stage="topcoat", lot="topcoat-1")
    for hours, rain in looks:
        moment = START + timedelta(hours=hours)
        builder.add("conditions", at=moment, stage="completion", rain=rain, deck_c=...)
    return builder


@pytest.mark.parametrize(
    ("looks", "hours", "verdict"),
    [
        # 24 h dry: common practice, no source.
        ([(24, False)], 24, IN),
        ([(10, False), (25, False)], 25, IN),
        ([(23.9, False)], 23.9, Verdict.UNDECIDED),
        ([(23.9, True)], 23.9, OUT),
        ([(10, False), (20, True), (30, False)], 20, OUT),
        ([(24, True)], 24, IN),
    ],
)
def test_dry_hours_follow_the_looks_at_the_sky(
    looks: list[tuple[float, bool]], hours: float, verdict: Verdict
) -> None:
    found = only(finished(*looks), "completion.dry_hours")
    assert (found.value, found.verdict) == (pytest.approx(hours), verdict)


def test_dry_hours_nobody_watched_are_not_recorded() -> None:
    assert only(finished(), "completion.dry_hours").verdict is SILENT
    assert only(equipped(), "completion.dry_hours").verdict is SILENT


def test_stated_dry_hours_go_before_the_looks() -> None:
    builder = finished((10, True))
    check = {"stage": "completion", "check": "completion.dry_hours", "unit": "h"}
    builder.add("measurement", **check, value=26, area="main")
    assert [f.value for f in findings(builder, "completion.dry_hours")] == [26]

"""Entries that reached the ledger late, or that tell of work already covered up."""

from __future__ import annotations

from datetime import timedelta

import pytest

from qa.assess.assessment import assess
from qa.assess.finding import Finding
from qa.record.job import fold
from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, equipped

TIMELY = "record.timely"
SECOND = timedelta(seconds=1)


def timely(builder: RecordBuilder, *, delay: timedelta = timedelta(minutes=1)) -> list[Finding]:
    assessment = assess(fold(builder.sealed(delay=delay)), GENERAL)
    return [found for found in assessment.findings if found.check == TIMELY]


def measured() -> RecordBuilder:
    builder = equipped()
    builder.add("measurement", area="main")
    return builder


@pytest.mark.parametrize(
    ("delay", "verdict"),
    # 12 h: project choice.
    [
        (timedelta(hours=12) - SECOND, Verdict.WITHIN),
        (timedelta(hours=12), Verdict.WITHIN),
        (timedelta(hours=12) + SECOND, Verdict.OUTSIDE),
        (timedelta(seconds=-30), Verdict.WITHIN),
        (timedelta(hours=-12) - SECOND, Verdict.OUTSIDE),
    ],
)
def test_entry_arrives_within_twelve_hours(delay: timedelta, verdict: Verdict) -> None:
    (found,) = timely(measured(), delay=delay)
    assert found.verdict is verdict
    assert found.value == pytest.approx(abs(delay) / timedelta(hours=1))
    assert ("Recorded late: measurement of" in found.exact) == (verdict is Verdict.OUTSIDE)


def test_record_without_arrivals_is_not_judged() -> None:
    assessment = assess(measured().job(), GENERAL)
    assert [found for found in assessment.findings if found.check == TIMELY] == []


def test_late_entries_stand_beside_those_in_time() -> None:
    builder = measured()
    builder.add("mix", at="13:00")
    late = builder.add("measurement", at="14:00", area="main")
    found = {f.subject: f for f in timely(builder) if f.stage == "deck"}
    assert found[None].verdict is Verdict.WITHIN
    assert (found[late].verdict, found[late].value) == (Verdict.OUTSIDE, None)
    assert "The work had been covered on 12 May 2026, 13:00." in found[late].exact


@pytest.mark.parametrize("kind", ["photo", "sign_off", "measurement", "observation"])
def test_entry_after_cover_is_late_without_an_area_too(kind: str) -> None:
    builder = equipped()
    builder.add("mix", at="13:00")
    late = builder.add(kind, at="13:01", stage="deck")
    assert late in {f.subject for f in timely(builder)}


def test_entry_of_no_area_waits_for_the_last_one_covered() -> None:
    builder = equipped()
    builder.add("area", area="porch", name="Porch")
    builder.add("mix", at="13:00")
    early = builder.add("measurement", at="14:00")
    assert early not in {f.subject for f in timely(builder)}
    builder.add("mix", at="15:00", area="porch")
    late = builder.add("measurement", at="16:00")
    assert {f.subject for f in timely(builder) if f.subject} == {late}


def test_work_that_nothing_covers_is_never_covered() -> None:
    builder = equipped()
    builder.add("mix", at="13:00", stage="topcoat", lot="topcoat-1")
    builder.add("observation", at="14:00", stage="topcoat", check="topcoat.coverage", area="main")
    assert all(f.verdict is Verdict.WITHIN for f in timely(builder))

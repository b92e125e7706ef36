"""When a roof is next to be looked at: the last day that is named, until somebody has looked."""

from __future__ import annotations

from datetime import date, timedelta

from qa.services.look_dates import TOLD_BEFORE, next_look
from qa.services.reading import read_job
from qa.services.rebuilding import rebuild
from tests.house import House
from tests.roof_job import RoofJob

DUE = date(2027, 5, 3)


def due(job: RoofJob) -> date | None:
    return next_look(read_job(job.house.installation, job.house.omar, job.id).job)


def looked(job: RoofJob, on: date, **fields: object) -> str:
    """A look on that day, at noon."""
    job.clock = job.clock.replace(year=on.year, month=on.month, day=on.day)
    return job.add("inspection", by=job.house.omar, finding="Sound.", **fields).entry


def test_nothing_is_due_before_a_day_was_named(house: House) -> None:
    job = RoofJob.started(house)
    assert due(job) is None
    looked(job, date(2026, 6, 1), next_due=None)
    assert due(job) is None


def test_last_day_that_was_named_is_due(house: House) -> None:
    job = RoofJob.started(house)
    looked(job, date(2026, 6, 1), next_due=DUE.isoformat())
    assert due(job) == DUE
    looked(job, date(2026, 9, 1), next_due=(DUE + timedelta(days=9)).isoformat())
    assert due(job) == DUE + timedelta(days=9)


def test_look_after_a_storm_does_not_stand_for_the_yearly_one(house: House) -> None:
    job = RoofJob.started(house)
    looked(job, date(2026, 6, 1), next_due=DUE.isoformat())
    looked(job, DUE - TOLD_BEFORE - timedelta(days=1), next_due=None)
    assert due(job) == DUE


def test_look_within_the_weeks_before_is_the_one_that_was_due(house: House) -> None:
    job = RoofJob.started(house)
    looked(job, date(2026, 6, 1), next_due=DUE.isoformat())
    looked(job, DUE - TOLD_BEFORE, next_due=None)
    assert due(job) is None
    assert rebuild(house.installation).changed == ()


def test_withdrawn_look_names_no_day(house: House) -> None:
    job = RoofJob.started(house)
    entry = looked(job, date(2026, 6, 1), next_due=DUE.isoformat())
    job.add("correction", by=house.omar, corrects=entry, reason="Another roof.", body=None)
    assert due(job) is None
    assert rebuild(house.installation).changed == ()

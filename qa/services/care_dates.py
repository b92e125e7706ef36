"""The days of a roof's care: what comes round every year, and the looks that are due."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from qa.assess.frame import when
from qa.assess.stages import work_by_stage
from qa.packs.handover.care_calendar import CALENDAR
from qa.record.job import Job
from qa.services.calendar_file import Event


def finished_on(job: Job) -> date:
    """The day from which the roof is looked after: its handover, else its last day of work."""
    work = [entry.at for stage in work_by_stage(job).values() for entry in stage]
    ended = [given.at for given in job.handovers] or work or [job.opening.at]
    return max(ended).astimezone(job.time_zone).date()


def care_events(job: Job, *, job_id: str, until: date) -> tuple[Event, ...]:
    """What the owner's calendar holds.

    Args:
        job: the job.
        job_id: the installation's id of it, by which calendar programs know an event again.
        until: the last day that is cared for.
    """
    return (*_yearly(job, job_id, until), *_due(job, job_id))


def recorded_at(job: Job) -> datetime:
    """When the record last grew."""
    return max(entry.received_at or entry.at for entry in job.entries)


def _yearly(job: Job, job_id: str, until: date) -> Iterator[Event]:
    finished = finished_on(job)
    for row in CALENDAR:
        if row.month is None:
            continue
        year = finished.year + (row.month <= finished.month)
        first = date(year, row.month, 1)
        if first <= until:
            yield Event(
                uid=f"{job_id}-month-{row.month}@laidtrue",
                day=first,
                summary=f"{row.when}: look after the flat roof",
                description=f"{row.what} {row.who}. Do not climb up to look.",
                yearly_until=until,
            )


def _due(job: Job, job_id: str) -> Iterator[Event]:
    firm = job.opening.body.firm
    call = ", ".join(filter(None, (firm.name, firm.phone, firm.email)))
    for look in sorted(job.inspections, key=when):
        if look.body.next_due is not None:
            yield Event(
                uid=f"{job_id}-due-{look.id}@laidtrue",
                day=look.body.next_due,
                summary="The flat roof is due to be looked at",
                description=f"By {call}. At the last look: {look.body.finding}",
            )

"""What stands on top of every page of a job: which job it is, and work that stands still."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from flask import request, url_for

from qa.assess.frame import when
from qa.record.job import Job, Recorded
from qa.record.kinds.readings import Cause, Interruption
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.texts.saying import say, to_say
from qa.web import clock
from qa.web.dates import name_zone, time_text
from qa.web.frame import actor
from qa.web.roof.interruption_forms import NO_COVER_YET

CAUSE_WORDS = {
    Cause.RAIN: to_say("rain"),
    Cause.WIND: to_say("wind"),
    Cause.COLD: to_say("cold"),
    Cause.HEAT: to_say("heat"),
    Cause.OTHER: to_say("another cause"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """Work that stands still.

    Attributes:
        address: of the page that goes on with it.
        sentence: "Stopped for rain since 10:42".
        next_step: what is to be recorded of it next.
    """

    address: str
    sentence: str
    next_step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTop:
    """The top of a job's page.

    Attributes:
        job_id: the installation's id of the job.
        title: of the job.
        address: of the job's own page.
        stopped: the interruption that is still open, or None.
        join: address of the page on which somebody who is on the roof and not yet of the crew adds
            themselves, or nothing.
    """

    job_id: str
    title: str
    address: str
    stopped: Stopped | None
    join: str


def job_top(read: ReadJob) -> JobTop:
    """The top of every page of a job; a page's context carries it as `top`."""
    name_zone(read.job.time_zone)
    return JobTop(
        job_id=read.id,
        title=read.job.opening.body.title,
        address=url_for("roof.job", job=read.id),
        stopped=_stopped(read),
        join=_join(read),
    )


def site_day(read: ReadJob) -> date:
    """The calendar day on the site."""
    return clock.now().astimezone(read.job.time_zone).date()


def open_interruption(job: Job) -> Recorded[Interruption] | None:
    """The last interruption that has not ended, or None."""
    still = [one for one in job.interruptions if one.body.until is None]
    return max(still, key=when, default=None)


def _join(read: ReadJob) -> str:
    """Said before anything is typed, since the record takes entries of the crew alone."""
    address, someone = url_for("roof.crew", job=read.id), actor()
    joins = someone.may(Act.RECORD_WORK) and someone.key not in read.job.crew
    return address if joins and request.path != address else ""


def _stopped(read: ReadJob) -> Stopped | None:
    """The interruption that is open, but on its own page, which says it anyway."""
    found = open_interruption(read.job)
    address = url_for("roof.interruption", job=read.id, entry=found.id) if found else request.path
    if found is None or address == request.path:
        return None
    is_covered = found.body.protection != NO_COVER_YET
    since = time_text(found.body.from_, read.job.time_zone, site_day(read))
    return Stopped(
        address=address,
        sentence=say(
            "Stopped for %(cause)s since %(since)s",
            cause=CAUSE_WORDS[found.body.cause],
            since=since,
        ),
        next_step=say("Say when it is dry again.")
        if is_covered
        else say("Cover the work; then say how."),
    )

"""The list of jobs: where every visit begins."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from flask import request, url_for

from qa.services.access import Act
from qa.services.listing import A_PAGE, jobs
from qa.store.job_lists import ListedJob
from qa.texts.saying import say, say_count
from qa.web import clock
from qa.web.dates import time_text
from qa.web.frame import actor, house, render_page
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.roof.routing import blueprint
from qa.web.stage_names import stage_name


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRow:
    """One job of the list.

    Attributes:
        address: of its page.
        place: the site's address, or that it was erased.
        standing: the stage in hand, in words.
        outside: what is outside limits and not settled, or nothing.
        waiting: what waits for a supervisor, or nothing.
        touched: when the record last grew.
    """

    address: str
    reference: str
    title: str
    place: str
    standing: str
    outside: str
    waiting: str
    touched: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsPage:
    """The list.

    Attributes:
        may_start, may_take_in: what the person may begin here.
    """

    rows: tuple[JobRow, ...]
    pages: Pages
    may_start: bool
    may_take_in: bool
    start: str
    take_in: str


@blueprint.get("/", endpoint="jobs")
def show_jobs() -> str:
    """The firm's jobs, the one with the latest entry first."""
    someone, number = actor(), page_number(request.args.get("page"))
    # One more than the page shows tells whether there is a next page.
    found = jobs(house(), someone, skip=(number - 1) * A_PAGE, most=A_PAGE + 1)
    now = clock.now()
    page = JobsPage(
        rows=tuple(_row(job, now) for job in found[:A_PAGE]),
        pages=pages("roof.jobs", number, has_more=len(found) > A_PAGE),
        may_start=someone.may(Act.START_JOB),
        may_take_in=someone.may(Act.TAKE_IN),
        start=url_for("roof.start"),
        take_in=url_for("roof.take_in"),
    )
    return render_page("roof/jobs.html", page)


def _row(job: ListedJob, now: datetime) -> JobRow:
    return JobRow(
        address=url_for("roof.job", job=job.id),
        reference=job.reference,
        title=job.title,
        place=job.address or say("The address was erased."),
        standing=say("%(stage)s in hand", stage=stage_name(job.stage))
        if job.stage
        else say("Every stage signed off"),
        outside=say("%(outside)s outside limits", outside=job.outside) if job.outside else "",
        waiting=_waiting(job.waiting),
        touched=_touched(job, now),
    )


def _touched(job: ListedJob, now: datetime) -> str:
    zone = ZoneInfo(job.time_zone)
    return time_text(job.last_received_at, zone, now.astimezone(zone).date())


def _waiting(number: int) -> str:
    if not number:
        return ""
    return say_count(
        "%(number)s stage waits for release", "%(number)s stages wait for release", number
    )

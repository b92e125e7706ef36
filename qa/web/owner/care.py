"""The care of the roof: the calendar as a file, and the looks at it over the years."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from flask import Response, make_response, url_for

from qa.assess.frame import when
from qa.record.job import Job
from qa.services.calendar_file import calendar_file
from qa.services.care_dates import care_events, finished_on, recorded_at
from qa.services.folder_zip import folder_name
from qa.services.linking import Face
from qa.services.shared_reading import read_shared_job
from qa.texts.saying import say
from qa.web import clock
from qa.web.dates import day_text
from qa.web.frame import house, render_page
from qa.web.owner.pack import owner_top
from qa.web.owner.routing import blueprint
from qa.web.roof.wording import person_text
from qa.web.shared_links import FaceTop, opened

_CALENDAR_TYPE = "text/calendar; charset=utf-8"


@dataclass(frozen=True, slots=True, kw_only=True)
class LookView:
    """One look at the roof.

    Attributes:
        told: when and by whom.
        due: when the next is due, or nothing.
        is_defect: whether something must be done about what was found.
    """

    told: str
    finding: str
    due: str
    is_defect: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class YearView:
    """One year since the roof was finished.

    Attributes:
        span: from when to when.
        word: what is said where nobody looked.
    """

    number: int
    span: str
    word: str
    looks: tuple[LookView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogPage:
    """The looks at the roof, year by year, the newest year first."""

    top: FaceTop
    finished: str
    is_handed_over: bool
    years: tuple[YearView, ...]
    next_due: str
    calendar: str
    report: str


@blueprint.get("/h/<owner_token>/care.ics", endpoint="calendar")
def send_calendar(owner_token: str) -> Response:
    """What the roof asks for, for the owner's own calendar."""
    link = opened(Face.HOMEOWNER, owner_token)
    job = read_shared_job(house(), link).job
    until = link.expires_at.astimezone(job.time_zone).date()
    events = care_events(job, job_id=link.job_id, until=until)
    name = say("Flat roof, %(reference)s", reference=job.reference)
    response = make_response(calendar_file(name, events, stamp=recorded_at(job)))
    response.headers["Content-Type"] = _CALENDAR_TYPE
    file = f"{folder_name(job.reference)}-care.ics"
    response.headers.set("Content-Disposition", "attachment", filename=file)
    return response


@blueprint.get("/h/<owner_token>/inspections", endpoint="inspections")
def show_inspections(owner_token: str) -> str:
    """Every look at the roof since it was finished."""
    link = opened(Face.HOMEOWNER, owner_token)
    read = read_shared_job(house(), link)
    here: dict[str, Any] = {"owner_token": owner_token}
    due = [look.body.next_due for look in read.job.inspections if look.body.next_due]
    page = LogPage(
        top=owner_top(read, owner_token),
        finished=day_text(finished_on(read.job)),
        is_handed_over=bool(read.job.handovers),
        years=tuple(_years(read.job, clock.now().astimezone(read.job.time_zone).date())),
        next_due=day_text(max(due)) if due else "",
        calendar=url_for("owner.calendar", **here),
        report=url_for("owner.report", **here),
    )
    return render_page("owner/inspections.html", page)


def _years(job: Job, today: date) -> Iterator[YearView]:
    """The years that have begun, the newest first."""
    finished = finished_on(job)
    looks = sorted(job.inspections, key=when)
    began = [_years_after(finished, number) for number in range(max(1, _age(finished, today) + 1))]
    for number in reversed(range(len(began))):
        first, next_first = began[number], _years_after(finished, number + 1)
        here = [
            look
            for look in looks
            if first <= look.at.astimezone(job.time_zone).date() < next_first
            or (number == 0 and look.at.astimezone(job.time_zone).date() < first)
        ]
        is_running = today < next_first
        yield YearView(
            number=number + 1,
            span=say("%(first)s to %(last)s", first=day_text(first), last=day_text(next_first)),
            word=say("Nobody has looked yet.")
            if is_running
            else say("No look at the roof is recorded."),
            looks=tuple(
                LookView(
                    told=f"{day_text(look.at.astimezone(job.time_zone).date())}, "
                    f"{person_text(job, look.by)}",
                    finding=look.body.finding,
                    due=day_text(look.body.next_due) if look.body.next_due else "",
                    is_defect=bool(look.body.defect),
                )
                for look in reversed(here)
            ),
        )


def _age(finished: date, today: date) -> int:
    """Whole years since the roof was finished."""
    age = max(0, today.year - finished.year)
    return age - (age > 0 and _years_after(finished, age) > today)


def _years_after(day: date, years: int) -> date:
    """The same day some years later; of 29 February, 1 March where there is none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)

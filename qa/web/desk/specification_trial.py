"""The trial run of a version: which findings of past jobs it would change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import request, url_for

from qa.services.specification_trial import A_STRETCH, ChangedFinding, TriedJob, try_version
from qa.texts.saying import say
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.roof.wording import begun


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedView:
    """A job of which something would change, or which cannot be judged."""

    address: str
    title: str
    told: str
    fault: str
    changes: tuple[ChangedFinding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialPage:
    """The outcome for a stretch of the firm's jobs.

    Attributes:
        told: which jobs were tried, and how many would change.
        turns: how many findings go from one state to another, in sentences.
    """

    name: str
    address: str
    told: str
    turns: tuple[str, ...]
    jobs: tuple[TriedView, ...]
    pages: Pages


@blueprint.get(
    "/desk/specifications/<specification>/<int:version>/trial", endpoint="try_specification"
)
def show_trial(specification: str, version: int) -> str:
    """Judges a stretch of the firm's jobs by a version; nothing is kept of it."""
    number = page_number(request.args.get("page"))
    place: dict[str, Any] = {"specification": specification, "version": version}
    trial = try_version(house(), actor(), specification, version, skip=(number - 1) * A_STRETCH)
    touched = tuple(job for job in trial.jobs if job.changes or job.fault)
    page = TrialPage(
        name=trial.name,
        address=url_for("desk.specification", **place),
        told=_told(number, len(trial.jobs), len(touched)),
        turns=tuple(
            say(
                "%(word)s now, %(after)s then: %(count)s",
                word=begun(before),
                after=after,
                count=count,
            )
            for before, after, count in trial.turns
        ),
        jobs=tuple(map(_view, touched)),
        pages=pages("desk.try_specification", number, has_more=trial.has_more, **place),
    )
    return render_page("desk/specification_trial.html", page)


def _told(number: int, tried: int, touched: int) -> str:
    if not tried:
        return (
            say("There is no job to try it on.") if number == 1 else say("There are no more jobs.")
        )
    first = (number - 1) * A_STRETCH + 1
    which = (
        say("Jobs %(first)s to %(tried)s", first=first, tried=first + tried - 1)
        if tried > 1
        else f"Job {first}"
    )
    return say(
        "%(which)s, the one with the latest entry first. Something would change in %(touched)s.",
        which=which,
        touched=touched,
    )


def _view(job: TriedJob) -> TriedView:
    return TriedView(
        address=url_for("roof.job", job=job.id),
        title=job.title,
        told=say(
            "%(reference)s; judged by %(pinned)s, which it keeps",
            reference=job.reference,
            pinned=job.pinned,
        ),
        fault=job.fault,
        changes=job.changes,
    )

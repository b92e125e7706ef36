"""The trial run of a version or a draft: which findings of the firm's jobs it would change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from flask import Response, jsonify, request, url_for
from flask.typing import ResponseReturnValue

from qa.services.changed_findings import ChangedFinding
from qa.services.specification_drafts import read_draft
from qa.services.specifications import read_version
from qa.services.trial_runs import TrialRun, TriedJob, ask_for_trial, trial_of, tried_jobs
from qa.texts.saying import say, say_count
from qa.web.dates import utc_text
from qa.web.desk.routing import blueprint
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.roof.wording import begun
from qa.web.saving import Moment, saved

A_PAGE = 20
"""Jobs on one page."""

Place = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What is tried, and where its pages are.

    Attributes:
        content: its file.
        endpoint, state: of its pages.
        place: what stands in their addresses.
        back: address of the version or the draft.
    """

    name: str
    content: bytes
    endpoint: str
    state: str
    place: Place
    back: str


class TrialForm(SiteForm):
    """Asks for a trial run; there is nothing to fill in."""


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
    """The outcome for the firm's jobs, as far as it is there.

    Attributes:
        told: how far the run is and what it has found; nothing where nobody has asked for one.
        asked: who asked for it, and when.
        state: address of how far it is, while it is under way.
        fault: why it was given up, or nothing.
        turns: how many findings go from one state to another, in sentences.
    """

    name: str
    address: str
    form: TrialForm
    told: str
    asked: str
    state: str
    fault: str
    turns: tuple[str, ...]
    jobs: tuple[TriedView, ...]
    pages: Pages


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """The receipt of a trial run that was asked for."""

    entry: str
    repeated: bool = False


@blueprint.route(
    "/desk/specifications/<specification>/<int:version>/trial",
    methods=["GET", "POST"],
    endpoint="try_specification",
)
def show_trial(specification: str, version: int) -> ResponseReturnValue:
    """What a version would find in the firm's jobs, and the way to have it tried."""
    return _answer(_version(specification, version))


@blueprint.get(
    "/desk/specifications/<specification>/<int:version>/trial/state", endpoint="trial_state"
)
def trial_state(specification: str, version: int) -> Response:
    """How far the trial run of a version is, for the page's script."""
    return _state(_version(specification, version))


@blueprint.route(
    "/desk/specifications/drafts/<draft>/trial", methods=["GET", "POST"], endpoint="try_draft"
)
def show_draft_trial(draft: str) -> ResponseReturnValue:
    """What a draft would find in the firm's jobs, and the way to have it tried."""
    return _answer(_draft(draft))


@blueprint.get("/desk/specifications/drafts/<draft>/trial/state", endpoint="draft_trial_state")
def draft_trial_state(draft: str) -> Response:
    """How far the trial run of a draft is, for the page's script."""
    return _state(_draft(draft))


def told_of_run(run: TrialRun | None) -> str:
    """How far a trial run is and what it has found; nothing where there is none."""
    if run is None:
        return ""
    kept = run.kept
    if not kept.jobs_of:
        return say("There is no job to try it on yet.")
    judged = say_count(
        "%(done)s of %(number)s job judged.",
        "%(done)s of %(number)s jobs judged.",
        max(kept.jobs_of, kept.jobs_done),
        done=kept.jobs_done,
    )
    change = say_count(
        "%(number)s finding would change.", "%(number)s findings would change.", kept.findings
    )
    touched = say_count(
        "%(number)s job is touched by it.", "%(number)s jobs are touched by it.", kept.touched
    )
    return " ".join((judged, change, touched) if kept.touched else (judged, change))


def _version(specification: str, version: int) -> Tried:
    held = read_version(house(), actor(), specification, version)
    place: Place = {"specification": specification, "version": version}
    return Tried(
        name=held.offered.name,
        content=held.content,
        endpoint="desk.try_specification",
        state="desk.trial_state",
        place=place,
        back=url_for("desk.specification", **place),
    )


def _draft(draft: str) -> Tried:
    held = read_draft(house(), actor(), draft)
    return Tried(
        name=held.name,
        content=held.kept.content,
        endpoint="desk.try_draft",
        state="desk.draft_trial_state",
        place={"draft": draft},
        back=url_for("desk.draft", draft=draft),
    )


def _answer(tried: Tried) -> ResponseReturnValue:
    form = TrialForm()

    def save(moment: Moment) -> Sequence[_Asked]:
        ask_for_trial(house(), actor(), tried.content, now=moment.now)
        return (_Asked(entry=str(form.entry_id.data)),)

    return saved(
        form,
        save,
        url_for(tried.endpoint, **tried.place),
        lambda: render_page("desk/specification_trial.html", _page(tried, form)),
        word=say("Asked for"),
    )


def _state(tried: Tried) -> Response:
    run = trial_of(house(), actor(), tried.content)
    answer = jsonify(waiting=run is not None and run.kept.is_under_way, told=told_of_run(run))
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _page(tried: Tried, form: TrialForm) -> TrialPage:
    run = trial_of(house(), actor(), tried.content)
    number = page_number(request.args.get("page"))
    found = _found(run, number)
    under_way = run is not None and run.kept.is_under_way
    return TrialPage(
        name=tried.name,
        address=tried.back,
        form=form,
        told=told_of_run(run),
        asked=_asked(run),
        state=url_for(tried.state, **tried.place) if under_way else "",
        fault=(run.kept.fault or "") if run else "",
        turns=_turns(run),
        jobs=tuple(map(_view, found[:A_PAGE])),
        pages=pages(tried.endpoint, number, has_more=len(found) > A_PAGE, **tried.place),
    )


def _found(run: TrialRun | None, number: int) -> tuple[TriedJob, ...]:
    if run is None:
        return ()
    skip = (number - 1) * A_PAGE
    return tried_jobs(house(), actor(), run, skip=skip, most=A_PAGE + 1)


def _asked(run: TrialRun | None) -> str:
    if run is None:
        return ""
    at = run.kept.asked_at
    return say(
        "Asked for by %(name)s, %(day)s",
        name=run.kept.asked_by,
        day=utc_text(at),
    )


def _turns(run: TrialRun | None) -> tuple[str, ...]:
    return tuple(
        say_count(
            "%(before)s now, %(after)s then: %(number)s finding",
            "%(before)s now, %(after)s then: %(number)s findings",
            count,
            before=begun(before),
            after=after,
        )
        for before, after, count in (run.turns if run else ())
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

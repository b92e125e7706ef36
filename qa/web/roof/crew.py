"""The crew of a job: who they are, and adding one of the firm's people."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.record.fields import Json
from qa.record.kinds.parties import Person
from qa.record.registry import Kind
from qa.record.schema import Withheld, written
from qa.services.access import Act, require
from qa.services.proposing import CrewChoice, crew_choices
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.services.telling import ERASED
from qa.texts.saying import say, to_say
from qa.web.forms import SiteForm, WordsField
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.routing import blueprint
from qa.web.roof.several import SeveralField
from qa.web.roof.start import crew_of, crew_options
from qa.web.saving import Moment, saved


class CrewForm(SiteForm):
    """Who is to be of the crew from now on."""

    PATHS: ClassVar = {"added": "body.crew"}

    added = SeveralField(to_say("Add to the crew"), required=True)
    reason = WordsField(to_say("Why"), optional_word=to_say("if it is not plain"))


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewRow:
    """One of the crew."""

    name: str
    role: str
    competence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewPage:
    """The page.

    Attributes:
        form: None where nobody can be added, or the person may not.
        put_right: address of the page on which the crew is corrected; nothing for who may not.
    """

    top: JobTop
    rows: tuple[CrewRow, ...]
    form: CrewForm | None
    put_right: str


@blueprint.route("/jobs/<job>/crew", methods=["GET", "POST"], endpoint="crew")
def show_crew(job: str) -> ResponseReturnValue:
    """The crew; adding to it corrects the entry that opened the job."""
    read, someone = read_job(house(), actor(), job), actor()
    if not someone.may(Act.START_JOB):
        return render_page("roof/crew.html", _page(read, None))
    choices = [c for c in crew_choices(house(), someone) if c.key not in read.job.crew]
    form = CrewForm()
    form.added.options = crew_options(choices)

    def save(moment: Moment) -> Sequence[Receipt]:
        require(someone, Act.START_JOB)
        draft = _draft(read, form, choices, moment)
        return record(house(), someone, job, (draft,), now=moment.now)

    return saved(
        form,
        save,
        url_for("roof.crew", job=job),
        lambda: render_page("roof/crew.html", _page(read, form if choices else None)),
        zone=read.job.time_zone,
    )


def _draft(read: ReadJob, form: CrewForm, choices: Sequence[CrewChoice], moment: Moment) -> Draft:
    """The correction of the opening that adds to its crew."""
    body: dict[str, Json] = copy.deepcopy(written(read.job.opening.body))
    added = crew_of(choices, form.added.data)
    names = ", ".join(str(person["name"]) for person in added)
    body["crew"] = [*body["crew"], *added]
    return Draft(
        id=str(form.entry_id.data),
        kind=Kind.CORRECTION,
        at=moment.at,
        body={
            "corrects": read.job.opening.id,
            "reason": form.reason.data or say("Added to the crew: %(names)s.", names=names),
            "body": body,
        },
        at_is_reckoned=True,
    )


def _page(read: ReadJob, form: CrewForm | None) -> CrewPage:
    opening = read.job.opening
    may = actor().may(Act.START_JOB)
    return CrewPage(
        top=job_top(read),
        rows=tuple(_row(person) for person in opening.body.crew),
        form=form,
        put_right=url_for("roof.correct", job=read.id, entry=opening.id) if may else "",
    )


def _row(person: Person) -> CrewRow:
    return CrewRow(
        name=ERASED if isinstance(person.name, Withheld) else person.name,
        role=person.role.value,
        competence=person.competence or "",
    )

"""Starting a job: who it is for, where it is, who is on the roof; the outline follows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar
from zoneinfo import ZoneInfo

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.record.fields import Json
from qa.services.proposing import CrewChoice, FirmOnJobs, Proposal, propose_job
from qa.services.specifications import OfferedVersion, offered_versions, read_version
from qa.services.starting import start_job
from qa.texts.saying import say, to_say
from qa.web import clock
from qa.web.forms import ChoiceField, Option, SiteForm, WordsField
from qa.web.frame import actor, house, render_page
from qa.web.roof.routing import blueprint
from qa.web.roof.several import SeveralField
from qa.web.saving import Moment, saved


class StartForm(SiteForm):
    """What a job is opened with."""

    PATHS: ClassVar = {"reference": "job", "address": "site.address"}

    title = WordsField(
        to_say("What the job is"),
        hint=to_say("As you call it: “Garage roof, back garden”."),
        required=True,
    )
    client_name = WordsField(to_say("Client’s name"), required=True)
    address = WordsField(to_say("Address of the roof"), lines=2, required=True)
    client_phone = WordsField(
        to_say("Client’s phone"), kind="tel", optional_word=to_say("if you have it")
    )
    client_email = WordsField(
        to_say("Client’s e-mail"), kind="email", optional_word=to_say("if you have it")
    )
    crew = SeveralField(
        to_say("On this job"),
        hint=to_say(
            "Whoever records work must be ticked; more can be added later. You are always on it."
        ),
    )
    reference = WordsField(to_say("Reference"), required=True)
    time_zone = WordsField(to_say("Time zone of the site"), required=True)
    specification = ChoiceField(
        to_say("Judged by"), hint=to_say("The job keeps it for good."), required=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StartPage:
    """The page.

    Attributes:
        specification: name, title and note of the one that is proposed to judge the job by.
    """

    form: StartForm
    specification: str
    specification_title: str
    specification_note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Started:
    """The receipt of a job that was started."""

    entry: str
    job_id: str
    repeated: bool = False


@blueprint.route("/jobs/new", methods=["GET", "POST"], endpoint="start")
def show_start() -> ResponseReturnValue:
    """Opens the record of a job."""
    proposal = propose_job(house(), actor(), now=clock.now())
    offered = tuple(one for one in offered_versions(house(), actor()) if one.came_with is None)
    proposed = _newest(offered, proposal.specification)
    form = StartForm(
        reference=proposal.reference,
        time_zone=proposal.time_zone,
        specification=proposed.name,
        crew=[_value(one) for one in proposal.crew if one.is_proposed],
    )
    form.crew.options = crew_options(proposal.crew)
    form.specification.options = tuple(Option(value=one.name, label=one.name) for one in offered)
    started: list[_Started] = []

    def save(moment: Moment) -> tuple[_Started, ...]:
        entry_id = str(form.entry_id.data)
        job_id = start_job(
            house(),
            actor(),
            _opening(form, proposal),
            entry_id=entry_id,
            at=moment.at.astimezone(_zone(form)),
            now=moment.now,
        )
        started.append(_Started(entry=entry_id, job_id=job_id))
        return tuple(started)

    return saved(
        form,
        save,
        lambda _: url_for("roof.new_area", job=started[0].job_id),
        lambda: render_page("roof/start.html", _page(form, proposed)),
        zone=_zone(form),
        word=say("Started"),
    )


def _zone(form: StartForm) -> ZoneInfo:
    """The zone that was typed; any other until it can be read, since the record refuses it."""
    try:
        return ZoneInfo(form.time_zone.data or "UTC")
    except (ValueError, KeyError, OSError):
        return ZoneInfo("UTC")


def _newest(offered: tuple[OfferedVersion, ...], last: str) -> OfferedVersion:
    """The newest version of the specification that the firm's last job pinned."""
    key = last.partition("/")[0]
    return next((one for one in offered if one.key == key), offered[-1])


def _page(form: StartForm, proposed: OfferedVersion) -> StartPage:
    specification = read_version(house(), actor(), proposed.key, proposed.version).specification
    return StartPage(
        form=form,
        specification=specification.name,
        specification_title=specification.title,
        specification_note=specification.note,
    )


def _opening(form: StartForm, proposal: Proposal) -> dict[str, Json]:
    """The body of kind `job`."""
    client = {
        "name": form.client_name.data,
        "phone": form.client_phone.data,
        "email": form.client_email.data,
    }
    return {
        "job": form.reference.data,
        "title": form.title.data,
        "specification": form.specification.data,
        "time_zone": form.time_zone.data,
        "firm": _given(_firm(proposal.firm)),
        "client": _given(client),
        "site": {"address": form.address.data},
        "crew": crew_of(proposal.crew, form.crew.data, always=actor().key),
    }


def _firm(firm: FirmOnJobs) -> dict[str, Json]:
    return {
        "name": firm.name,
        "address": firm.address,
        "phone": firm.phone,
        "email": firm.email,
    }


def _given(values: dict[str, Json]) -> dict[str, Json]:
    return {name: value for name, value in values.items() if value is not None}


def crew_options(choices: Iterable[CrewChoice]) -> tuple[Option, ...]:
    """The firm's people to tick, each with the role that they would have."""
    return tuple(Option(value=_value(one), label=one.name, hint=_hint(one)) for one in choices)


def crew_of(
    choices: Iterable[CrewChoice], ticked: Iterable[str], *, always: str | None = None
) -> list[Json]:
    """The crew as the opening entry names it.

    Args:
        choices: the firm's people.
        ticked: values of the options that were ticked.
        always: key of the person who is of the crew even where nobody ticked them.
    """
    known, chosen = tuple(choices), list(ticked)
    if always is not None and not any(_key(value) == always for value in chosen):
        chosen += [_value(one) for one in known if one.key == always][:1]
    return [_person(one) for one in known if _value(one) in chosen]


def _person(one: CrewChoice) -> dict[str, Json]:
    person = {"person": one.key, "name": one.name, "role": one.role.value}
    return person | ({"competence": one.competence} if one.competence else {})


def _hint(one: CrewChoice) -> str:
    return f"{one.role.value}, {one.competence}" if one.competence else one.role.value


def _value(one: CrewChoice) -> str:
    return f"{one.role.value}/{one.key}"


def _key(value: str) -> str:
    return value.partition("/")[2]

"""The page of one check: answered, answered anew, and what was answered so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import when
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.specification.model import Check
from qa.texts.saying import say, to_say
from qa.trade.vocabulary import Stage
from qa.web.form_fields import Option
from qa.web.frame import actor, house, render_page
from qa.web.roof.cautions import caution_of
from qa.web.roof.check_form import CheckForm
from qa.web.roof.check_history import (
    Answer,
    AnswerLine,
    answer_lines,
    answer_text,
    answers_to,
)
from qa.web.roof.check_places import CheckPlace, check_places
from qa.web.roof.drafting import draft
from qa.web.roof.job_paths import check_named, stage_named
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.outside import after_saving
from qa.web.roof.raising import Remedy, open_cases
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun, limit_text, stage_title
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceLimit:
    """A limit, and where it holds if it is not the same everywhere."""

    place: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPage:
    """One check.

    Attributes:
        plain: what it is about, in plain words.
        limits: with basis and source; one, or one for each place.
        shows: what photographs of it name, "@" before the name of a field.
        answers: what was recorded so far.
        open_cases: the ways to nonconformities about it that are open.
    """

    top: JobTop
    stage: str
    checks_address: str
    title: str
    plain: str
    limits: tuple[PlaceLimit, ...]
    caution: str
    shows: Mapping[str, str]
    form: CheckForm
    answers: tuple[AnswerLine, ...]
    open_cases: tuple[Remedy, ...]
    new_area: str


@blueprint.route("/jobs/<job>/stages/<stage>/checks/<check>", methods=["GET", "POST"])
def check(job: str, stage: str, check: str) -> ResponseReturnValue:
    """One check: answered, answered anew."""
    read, in_stage = read_job(house(), actor(), job), stage_named(stage)
    asked = check_named(read, in_stage, check)
    places = check_places(read.frame, asked)
    lines = answer_lines(read, asked, in_stage, today=site_day(read))
    form = _form(read, asked, in_stage, places, lines)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        place = next(place for place in places if place.value == form.place.data)
        drafts = _drafts(form, moment, asked, in_stage, place)
        return record(house(), actor(), job, drafts, now=moment.now)

    return saved(
        form,
        save,
        after_saving(job, url_for("roof.checks", job=job, stage=in_stage)),
        lambda: render_page(
            "roof/check.html", _check_page(read, asked, in_stage, places, lines, form)
        ),
        zone=read.job.time_zone,
    )


def _form(
    read: ReadJob,
    check: Check,
    stage: Stage,
    places: Sequence[CheckPlace],
    lines: Sequence[AnswerLine],
) -> CheckForm:
    """The form with what the last answers let one expect: instrument, place, what it replaces."""
    again = request.args.get("again")
    answered = next((a for a in answers_to(read, check, stage) if a.id == again), None)
    where = answered.body if answered else None
    area = where.area if where else request.args.get("area")
    form = CheckForm(
        data={
            "place": _place_of(places, area, where.edge if where else None)
            or _last_place(read, stage, places),
            "instrument": _last_instrument(read, check),
            "replaces": answered.id if answered else None,
            "bay": where.bay if where else None,
        }
    )
    form.suit(
        check,
        places,
        instruments=[
            Option(value=one.body.instrument, label=f"{one.body.name}, {one.body.measures}")
            for one in read.job.instruments
        ],
        earlier_answers=_earlier_answers(read, lines, answered),
    )
    form.hand_in()
    return form


def _earlier_answers(
    read: ReadJob, lines: Sequence[AnswerLine], asked: Answer | None
) -> list[Option]:
    """The answers that may be replaced: those that the page shows, and the one it was asked for."""
    options = [
        Option(value=line.entry, label=say("Instead of: %(text)s", text=line.text), hint=line.told)
        for line in lines
    ]
    if asked is not None and asked.id not in {option.value for option in options}:
        text = answer_text(read, asked)
        options.append(Option(value=asked.id, label=say("Instead of: %(text)s", text=text)))
    return options


def _drafts(
    form: CheckForm, moment: Moment, check: Check, stage: Stage, place: CheckPlace
) -> list[Draft]:
    drafts = form.answers(moment, check, stage, place)
    edge = place.edges[0] if len(place.edges) == 1 else None
    shown = {"stage": stage.value, "check": check.key, "area": place.area, "edge": edge}
    drafts += form.photo_drafts(moment, shown | {"bay": drafts[0].body.get("bay")})
    words = form.words_apart(check)
    if words:
        body = {"text": words, "stage": stage.value, "area": place.area}
        drafts.append(draft(form, moment, Kind.NOTE, body, part="note"))
    return drafts


def _place_of(places: Sequence[CheckPlace], area: str | None, edge: str | None) -> str | None:
    edges = (edge,) if edge else ()
    found = (place.value for place in places if place.area == area and place.edges == edges)
    return next(found, None) if area or edge else None


def _last_place(read: ReadJob, stage: Stage, places: Sequence[CheckPlace]) -> str:
    """The most general place where there is one area, or the area of the stage's last answer."""
    if len({place.area for place in places}) == 1:
        return places[0].value
    answers: list[Answer] = [*read.job.measurements, *read.job.observations]
    last = max((a for a in answers if a.body.stage is stage), key=when, default=None)
    if last is None:
        return ""
    return next((p.value for p in places if p.area == last.body.area and not p.edges), "")


def _last_instrument(read: ReadJob, check: Check) -> str | None:
    """The instrument that last measured this check, or else in its unit."""
    measured = sorted(read.job.measurements, key=when, reverse=True)
    same = (one.body.instrument for one in measured if one.body.check == check.key)
    alike = (one.body.instrument for one in measured if one.body.unit == check.unit)
    return next(filter(None, (*same, *alike)), None)


def _check_page(
    read: ReadJob,
    check: Check,
    stage: Stage,
    places: Sequence[CheckPlace],
    lines: tuple[AnswerLine, ...],
    form: CheckForm,
) -> CheckPage:
    return CheckPage(
        top=job_top(read),
        stage=stage_title(read, stage),
        checks_address=url_for("roof.checks", job=read.id, stage=stage),
        title=begun(check.quantity),
        plain=f"{check.plain}.",
        limits=tuple(_limits(check, places)),
        caution=caution_of(check.key),
        shows={"stage": stage.value, "check": check.key, "place": "@place", "bay": "@bay"},
        form=form,
        answers=lines,
        open_cases=open_cases(read, stage, check.key),
        new_area=url_for("roof.new_area", job=read.id),
    )


def _limits(check: Check, places: Sequence[CheckPlace]) -> list[PlaceLimit]:
    """The limit, or where it is not the same everywhere, that of each kind of place."""
    if len({place.limits for place in places}) <= 1:
        limits = places[0].limits if places else check.limits
        text = limit_text(limits, check.unit, check)
        if check.expects is not None:
            text = f"{_YES[check.expects]} {text}"
        return [PlaceLimit(place="", text=text)]
    first = {place.limits: place for place in reversed(places)}
    return [
        PlaceLimit(place=place.label, text=limit_text(limits, check.unit, check))
        for limits, place in reversed(first.items())
    ]


_YES = {True: to_say("The good answer is yes."), False: to_say("The good answer is no.")}

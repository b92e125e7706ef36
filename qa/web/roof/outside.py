"""What is asked after something outside its limits was saved: a photograph and a word.

It stands in the record already; nothing here blocks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.finding import Finding
from qa.assess.nonconformities import cases
from qa.assess.recorded import ANSWERED
from qa.assess.stages import stage_of
from qa.errors import Problem, RecordError
from qa.record.fields import Json
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.specification.model import Per
from qa.texts.saying import say, to_say
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web.form_fields import WordsField
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_paths import entry_named
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.raising import Remedy, look_again, remedy
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun, exact_under_title, limit_text
from qa.web.saving import Moment, led_on, saved
from qa.web.saving import Receipt as AnyReceipt


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideLine:
    """One finding outside its limits.

    Attributes:
        text: value and place.
        exact: the expert's sentence.
        limit: with basis and source.
        remedy: the way to the nonconformity about it.
        again: address of the page on which it is looked at anew, or nothing.
    """

    text: str
    exact: str
    limit: str
    remedy: Remedy | None
    again: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsidePage:
    """What was saved outside its limits.

    Attributes:
        on: address of the page that follows.
        shows: what photographs of it name, "@" before the name of a field.
    """

    top: JobTop
    lines: tuple[OutsideLine, ...]
    form: OutsideForm
    on: str
    shows: Mapping[str, Json]


class OutsideForm(PhotoForm):
    """A photograph and a word about it."""

    PATHS: ClassVar = {"word": "text"}

    word = WordsField(to_say("What happened, and what you do about it"), lines=3)


def after_saving(job: str, then: str) -> Callable[[Sequence[AnyReceipt]], str]:
    """Where a save leads: to this page where something is outside its limits, else to `then`."""

    def where(receipts: Sequence[AnyReceipt]) -> str:
        for receipt in receipts:
            told = receipt.findings if isinstance(receipt, Receipt) else ()
            if any(found.verdict is Verdict.OUTSIDE for found in told):
                return url_for("roof.outside", job=job, entry=receipt.entry)
        return then

    return where


@blueprint.route("/jobs/<job>/record/<entry>/outside", methods=["GET", "POST"])
def outside(job: str, entry: str) -> ResponseReturnValue:
    """Asks for a photograph and a word about what an entry says outside its limits."""
    read = read_job(house(), actor(), job)
    of = stage_of(entry_named(read, entry).body)
    stage = of.value if of else None
    found = _findings_on(read, entry)
    form = OutsideForm()
    form.photos.optional_word = ""
    form.hand_in()
    on = _on(read, found, stage)
    then = _raised_next(read, found) or on
    if form.sent and then != on and not (form.digests or form.word.data):
        return led_on(form, then)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        return record(house(), actor(), job, _drafts(form, moment, found, stage), now=moment.now)

    return saved(
        form,
        save,
        then,
        lambda: render_page("roof/outside.html", _page(read, found, stage, form, on)),
        zone=read.job.time_zone,
    )


def _on(read: ReadJob, found: Sequence[Finding], stage: str | None) -> str:
    """Where the person was before: the bays, the checks of the stage, the stage, or the job."""
    if stage is None:
        return url_for("roof.job", job=read.id)
    for one in found:
        if one.bay and one.area:
            return url_for("roof.bays", job=read.id, area=one.area)
    if found and found[0].telling.check.form in ANSWERED:
        return url_for("roof.checks", job=read.id, stage=stage)
    return url_for("roof.stage", job=read.id, stage=stage)


def _drafts(
    form: OutsideForm, moment: Moment, found: Sequence[Finding], stage: str | None
) -> list[Draft]:
    word = form.word.data
    if form.digests:
        return form.photo_drafts(moment, _shown(found, stage) | {"caption": word})
    if not word:
        sentence = say("Take a photograph, or write a word; or go on without, below.")
        problem = Problem(place="this form", sentence=sentence, field="note.text")
        raise RecordError((problem,))
    about = f"{begun(found[0].telling.check.quantity)}: " if found else ""
    area = found[0].area if found else None
    body = {"text": f"{about}{word}", "stage": stage, "area": area}
    return [draft(form, moment, Kind.NOTE, body)]


def _shown(found: Sequence[Finding], stage: str | None) -> dict[str, Json]:
    """What a photograph of the first finding names."""
    shown: dict[str, Json] = {"stage": stage or Stage.COMPLETION.value}
    if found:
        first = found[0]
        shown |= {"check": first.check, "area": first.area, "bay": first.bay} | _subject(first)
    return {name: value for name, value in shown.items() if value is not None}


_SUBJECTS: Mapping[Per, str] = {Per.MIX: "mix", Per.EDGE: "edge", Per.LOT: "lot"}


def _findings_on(read: ReadJob, entry: str) -> list[Finding]:
    """What is outside because of an entry; where it is only one of several, those too."""
    outside = [f for f in read.assessment.findings if f.verdict is Verdict.OUTSIDE]
    own = [found for found in outside if found.entries[:1] == (entry,)]
    return own or [found for found in outside if entry in found.entries]


def _subject(found: Finding) -> dict[str, Json]:
    """What a photo of a finding names besides its place: a mix, an edge or a lot."""
    name = _SUBJECTS.get(found.telling.check.per)
    return {name: found.subject} if name and found.subject else {}


def _answer(found: Finding) -> str | None:
    return found.entries[0] if found.entries else None


def _raised_next(read: ReadJob, found: Sequence[Finding]) -> str:
    """Address of the page that raises a nonconformity, where it was asked for; else nothing."""
    chosen = request.form.get("raise", "")
    ways = {str(place): remedy(read.id, one, cases(read.job)) for place, one in enumerate(found)}
    way = ways.get(chosen)
    return way.address if way else ""


def _page(
    read: ReadJob, found: Sequence[Finding], stage: str | None, form: OutsideForm, on: str
) -> OutsidePage:
    known = cases(read.job)
    lines = (
        OutsideLine(
            text=begun(one.telling.check.quantity),
            exact=exact_under_title(one),
            limit=limit_text(one.limits, one.unit, one.telling.sourced),
            remedy=remedy(read.id, one, known),
            again=look_again(
                read, one.stage, one.check, area=one.area, bay=one.bay, entry=_answer(one)
            ),
        )
        for one in found
    )
    return OutsidePage(
        top=job_top(read),
        lines=tuple(lines),
        form=form,
        on=on,
        shows=_shown(found, stage) | {"caption": "@word"},
    )

"""Putting an entry right, or withdrawing it; the old one stays readable."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.errors import NotFoundError, Problem, RecordError
from qa.record.entry import Entry
from qa.record.fields import Json
from qa.record.kinds.papers import Photo
from qa.record.registry import BODIES, Kind
from qa.record.schema import Body, written
from qa.services.access import require
from qa.services.field_words import KIND_WORDS
from qa.services.permissions import act_of
from qa.services.plain_fields import plain_fields
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.texts.saying import say, to_say
from qa.web.form_fields import ChoiceField, Option, TypedField, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.body_form import Held, body_fields, body_form, body_of
from qa.web.roof.entry import body_in_force
from qa.web.roof.job_paths import entry_named
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.routing import blueprint
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import begun
from qa.web.saving import Moment, saved

RIGHT, WITHDRAW = "right", "withdraw"
_STEPS = (
    Option(value=RIGHT, label=to_say("Put it right"), hint=to_say("with what stands below")),
    Option(
        value=WITHDRAW,
        label=to_say("Withdraw it"),
        hint=to_say("it should never have been recorded"),
    ),
)


class CorrectForm(SiteForm):
    """What is to become of an entry, and why."""

    PATHS: ClassVar = {"reason": "reason"}

    step = ChoiceField(to_say("What to do"), options=_STEPS, required=True)
    reason = WordsField(to_say("Why"), lines=2, required=True)

    def _field_of(self, path: str) -> TypedField | None:
        """The field of a path; a fault inside a list belongs to the list's field."""
        found, inner = super()._field_of(path), path
        while found is None and "." in inner:
            inner = inner.rpartition(".")[0]
            bare = inner.rpartition("[")[0] or inner
            found = super()._field_of(bare)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectPage:
    """The page.

    Attributes:
        kind: the kind's word.
        line: what the entry says now.
        fields: the fields of its body.
        back: address of the entry.
    """

    top: JobTop
    kind: str
    line: str
    form: CorrectForm
    fields: tuple[TypedField, ...]
    back: str


@blueprint.route("/jobs/<job>/record/<entry>/correct", methods=["GET", "POST"], endpoint="correct")
def show_correct(job: str, entry: str) -> ResponseReturnValue:
    """Puts an entry right by one more entry."""
    read = read_job(house(), actor(), job)
    found = entry_named(read, entry)
    body = _correctable(read, found)
    held = Held(body=_json(body), zone=read.job.time_zone, offered=_offered(read, found))
    form = body_form(CorrectForm, plain_fields(BODIES[found.kind]), held)(step=RIGHT)

    def save(moment: Moment) -> Sequence[Receipt]:
        is_again = any(one.id == form.entry_id.data for one in read.job.entries)
        draft = _draft(form, moment, found, held, is_again=is_again)
        return record(house(), actor(), job, (draft,), now=moment.now)

    return saved(
        form,
        save,
        url_for("roof.entry", job=job, entry=entry),
        lambda: render_page("roof/correct.html", _page(read, found, body, form)),
        zone=read.job.time_zone,
    )


def _correctable(read: ReadJob, entry: Entry) -> Body:
    """The body that a correction starts from.

    Raises:
        NotFoundError: corrections and erasures are not corrected.
        NotAllowedError: the entry is not the person's to correct.
    """
    if entry.kind in (Kind.CORRECTION, Kind.ERASURE):
        raise NotFoundError(say("This entry is not corrected; correct the one that it speaks of."))
    require(actor(), act_of(entry, None))
    return body_in_force(read.job, entry) or entry.body


def _json(body: Body) -> Mapping[str, Json]:
    """A body as JSON, without what the ledger adds to a photo."""
    held: dict[str, Json] = written(body)
    if isinstance(body, Photo):
        held = {
            name: value
            for name, value in held.items()
            if name not in ("sha256", "bytes", "media_type")
        }
    return held


def _offered(read: ReadJob, entry: Entry) -> Mapping[str, Sequence[Option]]:
    """What fields may name, but for the field by which this entry itself is known."""
    job, checks = read.job, read.specification.checks.values()
    areas = [Option(value=area.body.area, label=area.body.name) for area in job.areas]
    lots = [
        Option(value=lot.body.lot, label=f"{lot.body.lot}: {lot.body.product}") for lot in job.lots
    ]
    instruments = [
        Option(value=one.body.instrument, label=one.body.name) for one in job.instruments
    ]
    mixes = [Option(value=mix.body.mix, label=mix.body.mix) for mix in job.mixes]
    offered = {
        "area": areas,
        "lot": lots,
        "catalyst_lot": lots,
        "instrument": instruments,
        "mix": mixes,
        "check": [Option(value=check.key, label=begun(check.quantity)) for check in checks],
    }
    return {name: options for name, options in offered.items() if name != entry.kind.value}


def _draft(form: CorrectForm, moment: Moment, entry: Entry, held: Held, *, is_again: bool) -> Draft:
    """The correction; one that is sent again finds what it has put right itself.

    Raises:
        RecordError: nothing was changed.
    """
    body = None if form.step.data == WITHDRAW else body_of(form, held)
    if body == held.body and not is_again:
        sentence = say("Nothing was changed; change what is wrong, or withdraw the entry.")
        raise RecordError((Problem(place="this form", sentence=sentence),))
    return Draft(
        id=str(form.entry_id.data),
        kind=Kind.CORRECTION,
        at=moment.at,
        body={"corrects": entry.id, "reason": form.reason.data, "body": body},
        at_is_reckoned=True,
    )


def _page(read: ReadJob, entry: Entry, body: Body, form: CorrectForm) -> CorrectPage:
    return CorrectPage(
        top=job_top(read),
        kind=KIND_WORDS[entry.kind],
        line=telling_of(read).body(body),
        form=form,
        fields=body_fields(form),
        back=url_for("roof.entry", job=read.id, entry=entry.id),
    )

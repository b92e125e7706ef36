"""Putting an entry right, or withdrawing it; the old one stays readable."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from flask import redirect, url_for
from flask.typing import ResponseReturnValue

from qa.errors import NotFoundError, Problem, RecordError
from qa.record.entry import Entry
from qa.record.fields import Json
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Photo
from qa.record.registry import BODIES, Kind
from qa.record.schema import Body, written
from qa.services.access import require
from qa.services.field_words import KIND_WORDS
from qa.services.permissions import act_of
from qa.services.plain_fields import PlainField, Shape, plain_fields
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.texts.saying import say, to_say
from qa.web.form_fields import ChoiceField, Option, TypedField, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.body_form import FieldGroup, Held, body_form, body_groups, body_of, typed_rows
from qa.web.roof.correction_offers import offered
from qa.web.roof.entry import body_in_force, redraw_address
from qa.web.roof.job_paths import entry_named
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.routing import blueprint
from qa.web.roof.stage_views import telling_of
from qa.web.saving import Moment, saved

RIGHT, WITHDRAW = "right", "withdraw"
_ROW = re.compile(r"(?P<list>\w+)\[(?P<row>\d+)\]")
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

    rows_typed: Mapping[str, Sequence[int]] = MappingProxyType({})
    """Places on the page of the rows that were sent, by their list; empty rows are left out."""

    def _field_of(self, path: str) -> TypedField | None:
        """The field of a path; a fault inside a list belongs to the list's field."""
        inner = _ROW.sub(self._as_on_the_page, path)
        found = super()._field_of(inner)
        while found is None and "." in inner:
            inner = inner.rpartition(".")[0]
            bare = inner.rpartition("[")[0] or inner
            found = super()._field_of(bare)
        return found

    def _as_on_the_page(self, row: re.Match[str]) -> str:
        """A row's place in the record as its place on the page."""
        places = self.rows_typed.get(row["list"], ())
        number = int(row["row"])
        return f"{row['list']}[{places[number] if number < len(places) else number}]"


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectPage:
    """The page.

    Attributes:
        kind: the kind's word.
        line: what the entry says now.
        groups: the fields of its body, those of a row together.
        back: address of the entry.
    """

    top: JobTop
    kind: str
    line: str
    form: CorrectForm
    groups: tuple[FieldGroup, ...]
    back: str


@blueprint.route("/jobs/<job>/record/<entry>/correct", methods=["GET", "POST"], endpoint="correct")
def show_correct(job: str, entry: str) -> ResponseReturnValue:
    """Puts an entry right by one more entry."""
    read = read_job(house(), actor(), job)
    found = entry_named(read, entry)
    body = _correctable(read, found)
    if isinstance(body, Annotation):
        return redirect(_redrawn(read, found, body))
    held = Held(body=_json(body), zone=read.job.time_zone, offered=offered(read, found, body))
    fields = tuple(plain_fields(BODIES[found.kind]))
    form = body_form(CorrectForm, fields, held)(step=RIGHT)

    def save(moment: Moment) -> Sequence[Receipt]:
        is_again = any(one.id == form.entry_id.data for one in read.job.entries)
        draft = _draft(form, moment, found, fields, held, is_again=is_again)
        return record(house(), actor(), job, (draft,), now=moment.now)

    return saved(
        form,
        save,
        url_for("roof.entry", job=job, entry=entry),
        lambda: render_page(
            "roof/correct.html",
            _page(read, found, body, form, body_groups(form, fields, held)),
        ),
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


def _redrawn(read: ReadJob, entry: Entry, body: Annotation) -> str:
    """Where marks are put right: upon their photograph.

    Raises:
        NotFoundError: the photograph is gone.
    """
    address = redraw_address(read, entry, body)
    if not address:
        raise NotFoundError(
            say("The photo of these marks was withdrawn; they show nowhere any more.")
        )
    return address


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


def _draft(
    form: CorrectForm,
    moment: Moment,
    entry: Entry,
    fields: Sequence[PlainField],
    held: Held,
    *,
    is_again: bool,
) -> Draft:
    """The correction; one that is sent again finds what it has put right itself.

    Raises:
        RecordError: nothing was changed.
    """
    body = None if form.step.data == WITHDRAW else body_of(form, fields, held)
    form.rows_typed = {
        plain.name: [place for place, _ in typed_rows(form, plain, held)]
        for plain in fields
        if plain.shape is Shape.ROWS
    }
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


def _page(
    read: ReadJob,
    entry: Entry,
    body: Body,
    form: CorrectForm,
    groups: tuple[FieldGroup, ...],
) -> CorrectPage:
    return CorrectPage(
        top=job_top(read),
        kind=KIND_WORDS[entry.kind],
        line=telling_of(read).body(body),
        form=form,
        groups=groups,
        back=url_for("roof.entry", job=read.id, entry=entry.id),
    )

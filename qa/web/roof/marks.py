"""Drawing upon a photo: what was drawn is an entry of its own, and the original stays untouched."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import NotFoundError, Problem, RecordError
from qa.photos.renditions import Size
from qa.record.fields import Json
from qa.record.job import Recorded
from qa.record.kinds.marks import Annotation, MarkType
from qa.record.kinds.papers import Photo
from qa.record.marked import ESTIMATE, bodies, marked_photos, marks_query, photo_key
from qa.record.registry import Kind
from qa.record.schema import written
from qa.services.access import Act
from qa.services.original_facts import original_facts
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.texts.saying import say, to_say
from qa.web.form_fields import WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.marks_field import MarksField, line_of_fault
from qa.web.roof.marks_view import MarksView, marks_views
from qa.web.roof.photo_views import shown_text
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, saved

DESK = "desk"
"""Value of `from` in the address for who came from the desk and goes back there."""
WORDS = {
    MarkType.ARROW: to_say("Arrow"),
    MarkType.CIRCLE: to_say("Circle"),
    MarkType.TEXT: to_say("Text"),
    MarkType.MEASURE: to_say("Measure"),
    MarkType.REFERENCE: to_say("Reference"),
}
"""What each type is called on its button."""
_PARTS = {"words": to_say("its text"), "length_mm": to_say("its length")}
_WHOLE = to_say("it")


class MarksForm(SiteForm):
    """What is drawn, and why it changes."""

    PATHS: ClassVar = {"marks": "marks"}

    marks = MarksField(to_say("Marks, a line each"))

    def take(self, problems: Iterable[Problem]) -> None:
        """Shows each problem at the marks, with the line that it is about."""
        for problem in problems:
            path = problem.field or ""
            found = line_of_fault(path)
            if found is None:
                super().take([problem])
                continue
            line, part = found
            fault = problem.sentence.removeprefix(path).lstrip()
            sentence = say(
                "Line %(number)s: %(part)s %(fault)s",
                number=line,
                part=_PARTS.get(part, _WHOLE),
                fault=fault,
            )
            self.marks.errors = (*self.marks.errors, sentence)


class ChangeForm(MarksForm):
    """The same for marks that stand already."""

    reason = WordsField(to_say("Why they change"), lines=2, required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A type of mark that can be drawn."""

    value: str
    label: str
    has_length: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksPage:
    """The page.

    Attributes:
        shows: what the photograph shows, in words.
        copy: address of the copy that is drawn upon: clean while marks are changed, else with those
            that stand.
        width, height: of the upright original, px.
        changed: the marks that are put right, or None.
        standing: all marks that stand.
        estimate: what is said of lengths by a reference.
        back: address of the photograph's page.
    """

    top: JobTop
    form: MarksForm
    shows: str
    copy: str
    width: int
    height: int
    tools: tuple[Tool, ...]
    changed: MarksView | None
    standing: tuple[MarksView, ...]
    estimate: str
    back: str


@blueprint.route("/jobs/<job>/photos/<sha256>/marks", methods=["GET", "POST"], endpoint="marks")
def draw_marks(job: str, sha256: str) -> ResponseReturnValue:
    """Draws upon a photograph, or draws anew what somebody drew."""
    read = read_job(house(), actor(), job)
    photo = photo_of(read, sha256)
    changed = _changed(read, photo, request.args.get("entry", ""))
    held: list[Json] = written(changed.body.marks) if changed else []
    form = (ChangeForm if changed else MarksForm)(data={"marks": held})

    def save(moment: Moment) -> Sequence[Receipt]:
        marks = form.marks.data or []
        is_again = any(one.id == form.entry_id.data for one in read.job.entries)
        if marks == held and not is_again:
            raise RecordError((_nothing(is_change=changed is not None),))
        drafted = _draft(form, moment, photo, changed, marks)
        return record(house(), actor(), job, (drafted,), now=moment.now)

    return saved(
        form,
        save,
        _back(read, photo),
        lambda: render_page("roof/marks.html", _page(read, photo, changed, form)),
        zone=read.job.time_zone,
    )


def photo_of(read: ReadJob, sha256: str) -> Recorded[Photo]:
    """The photograph of a digest.

    Raises:
        NotFoundError: the job shows none, or it was erased.
    """
    erased = {gone for one in read.job.erasures for gone in one.body.photos or ()}
    for photo in read.job.photos:
        if photo.body.sha256 == sha256 and sha256 not in erased:
            return photo
    raise NotFoundError(say("This job shows no such photo, or it was erased."))


def _changed(read: ReadJob, photo: Recorded[Photo], entry: str) -> Recorded[Annotation] | None:
    """The marks that are put right; None where new ones are drawn.

    Raises:
        NotFoundError: the entry holds no marks upon this photograph.
    """
    if not entry:
        return None
    same = {one.id for one in read.job.photos if photo_key(one.body) == photo_key(photo.body)}
    for annotation in read.job.annotations:
        if annotation.id == entry and annotation.body.photo in same:
            return annotation
    raise NotFoundError(
        say("No such marks stand on this photo; another job’s cannot be changed here.")
    )


def _nothing(*, is_change: bool) -> Problem:
    sentence = (
        say("Nothing was changed; draw it another way, or take a line away.")
        if is_change
        else say("Nothing is drawn yet; draw a mark, or type a line for it.")
    )
    return Problem(place="this form", sentence=sentence)


def _draft(
    form: MarksForm,
    moment: Moment,
    photo: Recorded[Photo],
    changed: Recorded[Annotation] | None,
    marks: Sequence[Json],
) -> Draft:
    if changed is None:
        return draft(form, moment, Kind.ANNOTATION, {"photo": photo.id, "marks": list(marks)})
    body = {"photo": changed.body.photo, "marks": list(marks)}
    correction = {"corrects": changed.id, "reason": form["reason"].data, "body": body}
    return draft(form, moment, Kind.CORRECTION, correction)


def _back(read: ReadJob, photo: Recorded[Photo]) -> str:
    if request.args.get("from") == DESK and actor().may(Act.SEE_DESK):
        return url_for("desk.photo", job=read.id, sha256=photo.body.sha256)
    return url_for("roof.entry", job=read.id, entry=photo.id)


def _page(
    read: ReadJob,
    photo: Recorded[Photo],
    changed: Recorded[Annotation] | None,
    form: MarksForm,
) -> MarksPage:
    sha256 = str(photo.body.sha256)
    facts = original_facts(house(), actor(), read.id, sha256)
    standing = marked_photos(read.job).get(photo_key(photo.body), ())
    query = "" if changed else marks_query(bodies(standing))
    views = marks_views(read, photo.body, facts)
    return MarksPage(
        top=job_top(read),
        form=form,
        shows=shown_text(read, photo.body),
        copy=url_for("roof.photo", job=read.id, sha256=sha256, size=Size.SCREEN.value) + query,
        width=facts.width_px,
        height=facts.height_px,
        tools=tuple(
            Tool(value=one.value, label=WORDS[one], has_length=one.has_length) for one in MarkType
        ),
        changed=next((one for one in views if changed and one.entry == changed.id), None),
        standing=views,
        estimate=ESTIMATE,
        back=_back(read, photo),
    )

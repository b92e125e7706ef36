"""What the pages of a nonconformity show: what was raised, decided, and closed with what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from flask import url_for

from qa.assess.frame import when
from qa.assess.nonconformities import Case, NonconformityState, cases
from qa.errors import NotFoundError
from qa.record.job import Recorded
from qa.record.kinds.decisions import Disposition
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Examination, Measurement, Observation
from qa.record.schema import Body
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.texts.saying import say, to_say
from qa.trade.conformity import Verdict
from qa.trade.notation import quantity_text
from qa.web.dates import time_text
from qa.web.form_fields import Option
from qa.web.frame import actor
from qa.web.roof.check_history import RESULT_WORDS
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.nonconformity_forms import CloseForm, DecideForm
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.raising import look_again
from qa.web.roof.wording import area_text, begun, person_text
from qa.web.stage_names import stage_name

STATE_WORDS: Mapping[NonconformityState, str] = MappingProxyType(
    {
        NonconformityState.OPEN: to_say("open"),
        NonconformityState.PUT_RIGHT: to_say("put right"),
        NonconformityState.CONCEDED: to_say("conceded in writing"),
        NonconformityState.REJECTED: to_say("rejected"),
        NonconformityState.CLOSED: to_say("closed"),
    }
)

MOST_OFFERED = 60
"""Entries that are offered as evidence, the newest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLine:
    """A nonconformity in a list."""

    address: str
    text: str
    state: str
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseEvent:
    """Something that was said of a nonconformity.

    Attributes:
        what: "Raised", "Rework", "Closed".
        words: what was said.
        told: who, and when.
        evidence: what shows it.
        terms: what a concession rests on and how far it goes, each with its label.
    """

    what: str
    words: str
    told: str
    evidence: tuple[str, ...] = ()
    terms: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CasePage:
    """One nonconformity.

    Attributes:
        place: stage, check, area, bay and the rest that it names.
        decide: the form of a supervisor's decision, or None where it is not theirs or not due.
        close: the form that closes it, or None.
        decide_again: address of this page with the decision's form, or nothing.
        waits_for: who must do something next, in words, or nothing.
        check_again: where the work is looked at again after it was put right, or nothing.
    """

    top: JobTop
    number: int
    address: str
    state: str
    is_open: bool
    place: str
    events: tuple[CaseEvent, ...]
    photos: tuple[PhotoView, ...]
    decide: DecideForm | None
    close: CloseForm | None
    decide_again: str
    waits_for: str
    check_again: str


def case_numbered(read: ReadJob, number: int) -> Case:
    """The nonconformity of an address.

    Raises:
        NotFoundError: none of that number was raised.
    """
    for case in cases(read.job):
        if case.raised.body.number == number:
            return case
    raise NotFoundError(
        say("Nonconformity %(number)s was never raised in this job.", number=number)
    )


def case_lines(read: ReadJob) -> tuple[CaseLine, ...]:
    """Every nonconformity of a job, open ones first."""
    lines = (
        CaseLine(
            address=url_for("roof.nonconformity", job=read.id, number=case.raised.body.number),
            text=f"{case.raised.body.number}: {case.raised.body.description}",
            state=STATE_WORDS[case.state],
            is_open=case.is_open,
        )
        for case in cases(read.job)
    )
    return tuple(sorted(lines, key=lambda line: not line.is_open))


def case_page(
    read: ReadJob,
    case: Case,
    *,
    decide: DecideForm | None = None,
    close: CloseForm | None = None,
) -> CasePage:
    """The page of one nonconformity.

    Args:
        read: the job.
        case: the nonconformity.
        decide: the decision's form where it was sent or asked for.
        close: the closing form where it was sent.
    """
    number = case.raised.body.number
    may_decide, may_close = actor().may(Act.DECIDE), actor().may(Act.RECORD_WORK)
    if not decide and not close and (case.is_open or case.closure is None):
        decide = DecideForm() if case.disposition is None and may_decide else None
        is_due = case.disposition is not None and may_close
        close = CloseForm(data={"entries": _likely_evidence(read, case)}) if is_due else None
    if close:
        close.speak_of(case.disposition.body.decision if case.disposition else None)
        close.entries.options = tuple(evidence_options(read, case))
    address = url_for("roof.nonconformity", job=read.id, number=number)
    asked_again = may_decide and decide is None and case.disposition is not None
    return CasePage(
        top=job_top(read),
        number=number,
        address=address,
        state=STATE_WORDS[case.state],
        is_open=case.is_open,
        place=_place(read, case),
        events=tuple(_events(read, case)),
        photos=photo_views(read, [p for p in read.job.photos if p.body.nonconformity == number]),
        decide=decide if may_decide else None,
        close=close,
        decide_again=f"{address}?decide=again" if asked_again else "",
        waits_for="" if decide or close or not case.is_open else _waits_for(case),
        check_again=_check_again(read, case) if close and case.is_open else "",
    )


def _check_again(read: ReadJob, case: Case) -> str:
    """Where what was found is looked at anew, in place of the answer that was outside."""
    body = case.raised.body
    found = (f for f in read.assessment.findings if case.covers(f) and f.is_open and f.entries)
    entry = next((f.entries[0] for f in found), None)
    return look_again(read, body.stage, body.check, area=body.area, bay=body.bay, entry=entry)


def evidence_options(read: ReadJob, case: Case) -> Iterator[Option]:
    """What was recorded since a nonconformity was raised and may show that it was put right.

    What most likely shows it stands first.
    """
    job, since = read.job, case.raised.position
    kinds: tuple[Iterable[Recorded[Body]], ...] = (
        job.measurements,
        job.observations,
        job.examinations,
        job.photos,
    )
    found = [one for kind in kinds for one in kind if one.position > since]
    likely = frozenset(_likely_evidence(read, case))
    newest = sorted(found, key=when, reverse=True)
    for one in sorted(newest, key=lambda entry: entry.id not in likely)[:MOST_OFFERED]:
        yield Option(value=one.id, label=evidence_text(read, one), hint=_told(read, one))


def _likely_evidence(read: ReadJob, case: Case) -> list[str]:
    """What answered the same since and is not outside; ticked beforehand, as a rework needs it."""
    about, since = case.raised.body, case.raised.position
    findings = read.assessment.findings
    outside = {f.entries[0] for f in findings if f.verdict is Verdict.OUTSIDE and f.entries}
    answers: tuple[Recorded[Measurement | Observation], ...]
    answers = (*read.job.measurements, *read.job.observations)
    again = [
        one.id
        for one in answers
        if one.body.check == about.check
        and about.area in (None, one.body.area)
        and about.subject in (None, one.body.edge)
        and one.position > since
    ]
    looks = (one for one in read.job.examinations if one.position > since and about.bay)
    place = (about.area, about.bay)
    again += [one.id for one in looks if (one.body.area, one.body.bay) == place]
    return [entry for entry in again if entry not in outside]


def evidence_text(read: ReadJob, one: Recorded[Body]) -> str:
    """An entry that may be evidence, in a few words."""
    body = one.body
    where = [area_text(read.job, getattr(body, "area", None)), getattr(body, "bay", None)]
    match body:
        case Measurement():
            what = f"{_quantity(read, body.check)}: {quantity_text(body.value, body.unit)}"
        case Observation():
            what = f"{_quantity(read, body.check)}: {RESULT_WORDS[body.result]}"
        case Examination():
            looks, count = body.wet_out.replace("_", " "), body.pinholes
            what = say("Bay examined: %(looks)s, %(count)s pinholes", looks=looks, count=count)
        case Photo():
            about = body.caption or (_quantity(read, body.check) if body.check else "")
            what = say("Photograph: %(shows)s", shows=about or stage_name(body.stage))
        case _:
            what = str(one.entry.kind)
    return ", ".join(filter(None, (what, *where)))


def _quantity(read: ReadJob, key: str) -> str:
    check = read.specification.checks.get(key)
    return begun(check.quantity) if check else key


def _place(read: ReadJob, case: Case) -> str:
    body = case.raised.body
    check = _quantity(read, body.check) if body.check else None
    area = next((a.body.name for a in read.job.areas if a.body.area == body.area), body.area)
    bay = say("bay %(bay)s", bay=body.bay) if body.bay else None
    where = ", ".join(filter(None, (stage_name(body.stage), area, bay, body.subject)))
    return f"{where}. {check}" if check else where


def _events(read: ReadJob, case: Case) -> Iterator[CaseEvent]:
    number = case.raised.body.number
    yield CaseEvent(
        what=say("Raised"), words=case.raised.body.description, told=_told(read, case.raised)
    )
    said: list[Recorded[Body]] = [
        *(d for d in read.job.dispositions if d.body.nonconformity == number),
        *(c for c in read.job.closures if c.body.nonconformity == number),
    ]
    by_id = {entry.id: entry for entry in _all(read)}
    for one in sorted(said, key=when):
        words = getattr(one.body, "reason", None) or getattr(one.body, "statement", None)
        shown = [by_id[key] for key in getattr(one.body, "entries", ()) if key in by_id]
        yield CaseEvent(
            what=begun(getattr(one.body, "decision", "closed")),
            words=words or "",
            told=_told(read, one),
            evidence=tuple(evidence_text(read, entry) for entry in shown),
            terms=one.body.terms if isinstance(one.body, Disposition) else (),
        )


def _all(read: ReadJob) -> Iterator[Recorded[Body]]:
    job = read.job
    yield from job.measurements
    yield from job.observations
    yield from job.examinations
    yield from job.photos
    yield from job.notes


def _told(read: ReadJob, one: Recorded[Body]) -> str:
    at = time_text(one.at, read.job.time_zone, site_day(read))
    return f"{person_text(read.job, one.by)}, {at}"


def _waits_for(case: Case) -> str:
    if case.disposition is None:
        return say("A supervisor decides what becomes of it.")
    return say("Whoever works on the roof closes it with what shows that it was put right.")

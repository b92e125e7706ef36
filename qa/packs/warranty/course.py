"""What happened beside the work: interruptions, nonconformities, decisions, notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from qa.assess.nonconformities import Case, NonconformityState, cases
from qa.packs.source import PackSource
from qa.packs.verdicts import Said
from qa.packs.warranty.citing import Citing, area_label
from qa.record.job import Recorded
from qa.record.kinds.decisions import Disposition
from qa.record.kinds.readings import Interruption
from qa.trade.bay_runs import bay_runs

_STATES = {
    NonconformityState.OPEN: Said(mark="outside", word="open"),
    NonconformityState.PUT_RIGHT: Said(mark="put-right", word="put right"),
    NonconformityState.CONCEDED: Said(mark="conceded", word="conceded"),
    NonconformityState.REJECTED: Said(mark="outside", word="rejected", rest=" and closed"),
    NonconformityState.CLOSED: Said(mark="undecided", word="closed", rest=" without a decision"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened: when, by whom, and what.

    Attributes:
        cited: time, person and number of the entry.
        text: what happened.
        said: who said what of it, or nothing.
    """

    cited: str
    text: str
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseStory:
    """A nonconformity with all that was decided on it."""

    number: int
    state: Said
    about: str
    description: str
    steps: tuple[Event, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """A sign-off, release or refusal."""

    stage: str
    decision: str
    cited: str
    role: str
    statement: str


def interruptions(source: PackSource, citing: Citing) -> tuple[Event, ...]:
    """Every interruption of the work."""
    return tuple(
        Event(
            cited=citing.recorded(stop).text,
            text=_interruption_text(source, citing, stop),
            said=stop.body.protection,
        )
        for stop in source.job.interruptions
    )


def _interruption_text(source: PackSource, citing: Citing, stop: Recorded[Interruption]) -> str:
    body = stop.body
    area = area_label(source, body.area)
    until = f"until {citing.time(body.until)}" if body.until else "with no end recorded"
    bays = f"; bays {bay_runs(body.bays)}" if body.bays else ""
    where = f", {area}" if area else ""
    title = source.specification.stage_rule(body.stage).title
    return f"{title}{where}: {body.cause}, from {citing.time(body.from_)} {until}{bays}."


def nonconformities(source: PackSource, citing: Citing) -> tuple[CaseStory, ...]:
    """Every nonconformity, by number, with its dispositions and closures."""
    return tuple(
        CaseStory(
            number=case.raised.body.number,
            state=_STATES[case.state],
            about=_about(source, case),
            description=case.raised.body.description,
            steps=tuple(_steps(source, citing, case)),
        )
        for case in cases(source.job)
    )


def _about(source: PackSource, case: Case) -> str:
    body = case.raised.body
    check = source.specification.checks.get(body.check) if body.check else None
    parts: Iterable[str | None] = (
        source.specification.stage_rule(body.stage).title,
        check.quantity if check else body.check,
        area_label(source, body.area),
        body.bay,
        body.subject,
    )
    return ", ".join(part for part in parts if part)


def _steps(source: PackSource, citing: Citing, case: Case) -> Iterator[Event]:
    """All dispositions and closures of a case, those that were overtaken too."""
    number = case.raised.body.number
    yield Event(cited=citing.recorded(case.raised).text, text="Raised.")
    for decided in source.job.dispositions:
        if decided.body.nonconformity == number:
            counts = "" if decided == case.disposition else " Not the decision that counts."
            text = f"Disposition: {decided.body.decision}.{counts}"
            cited = citing.recorded(decided).text
            said = " ".join([decided.body.reason, *_terms(decided.body)])
            yield Event(cited=cited, text=text, said=said)
    for closed in source.job.closures:
        if closed.body.nonconformity == number:
            evidence = citing.numbers(closed.body.entries) or "none"
            yield Event(
                cited=citing.recorded(closed).text,
                text=f"Closed; evidence: entries {evidence}.",
                said=closed.body.statement,
            )


def _terms(decided: Disposition) -> Iterator[str]:
    return (f"{label}: {words}" for label, words in decided.terms)


def decisions(source: PackSource, citing: Citing) -> tuple[Decision, ...]:
    """Every sign-off, release and refusal, stage by stage."""
    crew = source.job.crew
    ordered = sorted(source.job.sign_offs, key=lambda s: (s.body.stage.order, s.at, s.position))
    return tuple(
        Decision(
            stage=source.specification.stage_rule(signed.body.stage).title,
            decision=signed.body.decision,
            cited=citing.recorded(signed).text,
            role=crew[signed.by].role if signed.by in crew else "not of the crew",
            statement=signed.body.statement,
        )
        for signed in ordered
    )


def notes(source: PackSource, citing: Citing) -> tuple[Event, ...]:
    """Notes, handovers, inspections and erasures, in the order of the record."""
    found = [*_notes(source, citing), *_afterwards(source, citing), *_erasures(source, citing)]
    return tuple(event for _, event in sorted(found, key=lambda pair: pair[0]))


def _notes(source: PackSource, citing: Citing) -> Iterator[tuple[int, Event]]:
    for note in source.job.notes:
        body = note.body
        title = source.specification.stage_rule(body.stage).title if body.stage else None
        about = ", ".join(part for part in (title, area_label(source, body.area)) if part)
        text = f"Note, {about}." if about else "Note."
        cited = citing.recorded(note).text
        yield note.position, Event(cited=cited, text=text, said=body.text)


def _afterwards(source: PackSource, citing: Citing) -> Iterator[tuple[int, Event]]:
    for handed in source.job.handovers:
        given = "; ".join(f"{doc.kind}, SHA-256 {doc.sha256}" for doc in handed.body.documents)
        cited = citing.recorded(handed).text
        text = f"Handed over to {handed.body.to}."
        yield handed.position, Event(cited=cited, text=text, said=given)
    for seen in source.job.inspections:
        body = seen.body
        defect = {True: "a defect", False: "no defect", None: "defect not stated"}[body.defect]
        due = f"; next due {source.day_text(body.next_due)}" if body.next_due else ""
        text = f"Inspection after handover: {defect}{due}."
        cited = citing.recorded(seen).text
        yield seen.position, Event(cited=cited, text=text, said=body.finding)


def _erasures(source: PackSource, citing: Citing) -> Iterator[tuple[int, Event]]:
    for erased in source.job.erasures:
        body = erased.body
        fields = ", ".join(
            f"{item.field} of entry {citing.entry(item.entry).number}"
            for item in body.disclosures or ()
        )
        photos = ", ".join(f"photo {digest[:12]}…" for digest in body.photos or ())
        what = "; ".join(part for part in (fields, photos) if part)
        cited = citing.recorded(erased).text
        yield erased.position, Event(cited=cited, text=f"Erased: {what}.", said=body.reason)

"""A stage as the job's page shows it: what is still to record, what is outside, who signed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any

from flask import url_for

from qa.assess.finding import Finding, StageStatus
from qa.assess.frame import grouped, when
from qa.assess.outstanding import Outstanding, Way, asked_for, outstanding
from qa.assess.stages import stage_of
from qa.assess.summary import STATUS_WORDS, counts
from qa.record.entry import Entry
from qa.record.kinds.decisions import SignOffDecision
from qa.record.kinds.papers import Correction
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.services.telling import Telling
from qa.texts.saying import say, to_say
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.frame import actor
from qa.web.roof.wording import Judged, area_text, judged, person_text

NEWEST = 8
"""How many entries of a stage its job's page shows."""
MOST_OUTSIDE = 12
"""How many findings of a stage its job's page shows; the page of the findings shows all."""
_SAID = {
    SignOffDecision.COMPLETE: to_say("Signed off"),
    SignOffDecision.RELEASED: to_say("Released"),
    SignOffDecision.REFUSED: to_say("Refused"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """A line that leads to the page where something is recorded.

    Attributes:
        places: the areas where it is asked for, where the job has several.
        is_theirs: whether it is for the person who reads it to do.
    """

    text: str
    address: str
    places: tuple[str, ...] = ()
    is_theirs: bool = True

    @property
    def where(self) -> str:
        """The areas, in words."""
        return ", ".join(self.places)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideRow:
    """A finding outside its limits, or undecided, that nothing was done about yet.

    Attributes:
        about: what was judged, and where.
        ask: address of the page that asks for a photo and a word; nothing where no entry is there.
    """

    about: str
    judged: Judged
    ask: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """An entry in one line."""

    line: str
    told: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageFold:
    """A stage in one line, folded away.

    Attributes:
        state: in the trade's words: "outside limits (2)".
        signatures: who signed what and when.
        address: of the same page with this stage open.
    """

    title: str
    state: str
    mark: str
    signatures: tuple[str, ...]
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageView:
    """A stage that is open.

    Attributes:
        plain: what happens in it.
        asked: what is still to record.
        outside: what asks for a photo and a word, and how much more there is; `findings` leads to
            all of it.
        newest: the last entries; `all_entries` leads to the others.
        checks, photos: addresses of the stage's checks and photographs.
    """

    key: str
    fold: StageFold
    plain: str
    is_hold_point: bool
    asked: tuple[NextStep, ...]
    outside: tuple[OutsideRow, ...]
    more_outside: int
    findings: str
    newest: tuple[EntryRow, ...]
    all_entries: str
    checks: str
    photos: str


def stage_folds(read: ReadJob, today: date) -> Mapping[Stage, StageFold]:
    """Every stage in one line; the findings are gone through once for all of them."""
    number = counts(read.assessment)
    return {
        outcome.stage: StageFold(
            title=read.specification.stage_rule(outcome.stage).title,
            state=_state(outcome.status, number[outcome.stage, outcome.status]),
            mark=_MARKS.get(outcome.status.value, outcome.status.value),
            signatures=tuple(_signatures(read, outcome.stage, today)),
            address=url_for("roof.stage", job=read.id, stage=outcome.stage.value),
        )
        for outcome in read.assessment.stages
    }


def _state(status: StageStatus, number: int) -> str:
    words = STATUS_WORDS[status]
    return words if status is StageStatus.WITHIN else f"{words} ({number})"


_MARKS = {"put_right": "put-right", "incomplete": "not-recorded"}
"""Classes of a stage's state where they are not its own word."""


def stage_view(read: ReadJob, stage: Stage, fold: StageFold, today: date) -> StageView:
    """A stage that is open."""
    rule = read.specification.stage_rule(stage)
    telling = telling_of(read)
    outside = [found for found in read.assessment.of_stage(stage) if _asks(found)]
    return StageView(
        key=stage.value,
        fold=fold,
        plain=rule.plain,
        is_hold_point=rule.hold_point,
        asked=tuple(_asked(read.id, stage, outstanding(read.frame, read.assessment, stage))),
        outside=tuple(_outside(read, outside[:MOST_OUTSIDE])),
        more_outside=max(0, len(outside) - MOST_OUTSIDE),
        findings=url_for("roof.findings", job=read.id),
        newest=tuple(_newest(read, stage, telling, today)),
        all_entries=url_for("roof.record", job=read.id, stage=stage.value),
        checks=url_for("roof.checks", job=read.id, stage=stage.value),
        photos=url_for("roof.new_photo", job=read.id, stage=stage.value),
    )


def asked_in_others(read: ReadJob, stage: Stage) -> tuple[NextStep, ...]:
    """The photographs that somebody asked for in words in the other stages."""
    return tuple(
        step
        for other in Stage
        if other is not stage
        for step in _asked(read.id, other, asked_for(read.frame, other))
    )


def telling_of(read: ReadJob) -> Telling:
    """What a line of the job's record needs to know."""
    areas = {area.body.area: area.body.name for area in read.job.areas}
    return Telling(
        specification=read.specification,
        zone=read.job.time_zone,
        areas=areas if len(areas) > 1 else {},
    )


def entry_row(read: ReadJob, entry: Entry, telling: Telling, today: date) -> EntryRow:
    """An entry in one line."""
    at = time_text(entry.at, read.job.time_zone, today)
    return EntryRow(
        line=telling.line(entry),
        told=f"{at}, {person_text(read.job, entry.by)}",
        address=url_for("roof.entry", job=read.id, entry=entry.id),
    )


def _asked(job: str, stage: Stage, items: Iterable[Outstanding]) -> Iterable[NextStep]:
    """What is asked for, a line each; one check in several areas is one line."""
    alike = grouped(items, lambda item: item.text if item.way is Way.CHECK else item)
    for first, *others in alike.values():
        yield NextStep(
            text=first.text,
            address=_where(job, stage, replace(first, area=None) if others else first),
            places=tuple(item.place for item in (first, *others) if item.place),
            is_theirs=first.way is not Way.RELEASE or actor().may(Act.RELEASE),
        )


_PAGES: Mapping[Way, tuple[str, tuple[str, ...]]] = {
    Way.AREA: ("roof.new_area", ()),
    Way.CHECK: ("roof.check", ("stage", "check", "area")),
    Way.CONDITIONS: ("roof.conditions", ("stage", "area")),
    Way.MIX: ("roof.mix", ("stage",)),
    Way.BAYS: ("roof.bays", ("area",)),
    Way.USAGE: ("roof.usage", ("stage", "area")),
    Way.PHOTO: ("roof.new_photo", ("stage",)),
    Way.SIGN_OFF: ("roof.sign_off", ("stage",)),
    Way.RELEASE: ("roof.release", ("stage",)),
}
"""Endpoint of the page on which something is recorded, and what its address names."""


def _where(job: str, stage: Stage, item: Outstanding) -> str:
    """The page on which something is recorded."""
    if item.mix is not None:
        return url_for("roof.mix_made", job=job, mix=item.mix)
    endpoint, names = _PAGES[item.way]
    known = {"stage": stage.value, "area": item.area, "check": item.check}
    values: dict[str, Any] = {name: known[name] for name in names}
    if item.photo is not None:
        values |= asdict(item.photo)
    return url_for(endpoint, job=job, **values)


def _outside(read: ReadJob, findings: Sequence[Finding]) -> Iterable[OutsideRow]:
    for found in findings:
        entry = found.entries[0] if found.entries else ""
        yield OutsideRow(
            about=_about(read, found),
            judged=judged(found),
            ask=url_for("roof.outside", job=read.id, entry=entry) if entry else "",
        )


def _asks(found: Finding) -> bool:
    """Whether a finding asks for a photo and a word."""
    return found.is_open or found.verdict is Verdict.UNDECIDED


def _about(read: ReadJob, found: Finding) -> str:
    """What was judged, in short: quantity, area, bay or subject."""
    quantity = found.telling.check.quantity
    subject = found.subject if found.telling.check.per.value in ("mix", "lot", "edge") else None
    bay = say("bay %(bay)s", bay=found.bay) if found.bay else ""
    parts = (area_text(read.job, found.area), bay, subject)
    return ", ".join([f"{quantity[:1].upper()}{quantity[1:]}", *filter(None, parts)])


def _newest(read: ReadJob, stage: Stage, telling: Telling, today: date) -> Iterable[EntryRow]:
    """The newest entries of a stage as they stand: what was put right shows what is in force."""
    put_right = {
        entry.body.corrects: entry.new_body
        for entry in read.job.entries
        if isinstance(entry.body, Correction)
    }
    found = 0
    for entry in reversed(read.job.entries):
        body = put_right.get(entry.id, entry.body)
        if body is None or isinstance(body, Correction) or stage_of(body) is not stage:
            continue
        yield replace(entry_row(read, entry, telling, today), line=telling.body(body))
        found += 1
        if found == NEWEST:
            return


def _signatures(read: ReadJob, stage: Stage, today: date) -> Iterable[str]:
    for signed in sorted(read.job.sign_offs, key=when):
        if signed.body.stage is stage:
            at = time_text(signed.at, read.job.time_zone, today)
            who = person_text(read.job, signed.by)
            yield say(
                "%(decision)s by %(who)s, %(at)s: %(statement)s",
                decision=_SAID[signed.body.decision],
                who=who,
                at=at,
                statement=signed.body.statement,
            )

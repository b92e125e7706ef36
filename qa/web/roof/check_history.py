"""What was answered to a check so far, and how it stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.frame import when
from qa.record.job import Recorded
from qa.record.kinds.readings import Measurement, Observation, Result
from qa.services.reading import ReadJob
from qa.specification.model import Check
from qa.texts.saying import to_say
from qa.trade.conformity import Verdict
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.roof.wording import Judged, area_text, judged, person_text

Answer = Recorded[Measurement] | Recorded[Observation]

RESULT_WORDS = {
    Result.YES: to_say("yes"),
    Result.NO: to_say("no"),
    Result.NOT_APPLICABLE: to_say("does not apply"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerLine:
    """One answer as a page shows it.

    Attributes:
        entry: its id.
        address: of the entry.
        again: address of the check's page, to answer it anew in place of this one.
        text: "22 %, Main roof, e1".
        told: who, and when.
        judged: how it stands, or None where nothing judges it on its own.
        is_open: whether it is outside its limits and nothing was done about it.
    """

    entry: str
    address: str
    again: str
    text: str
    told: str
    judged: Judged | None
    is_open: bool


def answers_to(read: ReadJob, check: Check, stage: Stage) -> tuple[Answer, ...]:
    """The measurements and observations of a check in a stage, in order of time."""
    found: list[Answer] = [
        *(m for m in read.job.measurements if m.body.check == check.key),
        *(o for o in read.job.observations if o.body.check == check.key),
    ]
    return tuple(sorted((a for a in found if a.body.stage is stage), key=when))


MOST_SHOWN = 25
"""Answers to one check that its page shows; all of them stand in the record."""


def answer_lines(
    read: ReadJob, check: Check, stage: Stage, *, today: date
) -> tuple[AnswerLine, ...]:
    """The newest answers to a check, the last one first."""
    by_entry: dict[str, Finding] = {}
    for found in read.assessment.of_stage(stage):
        if found.check == check.key and found.entries:
            held = by_entry.get(found.entries[0])
            if held is None or found.is_open:
                by_entry[found.entries[0]] = found
    return tuple(
        _line(read, check, stage, answer, by_entry.get(answer.id), today)
        for answer in answers_to(read, check, stage)[: -MOST_SHOWN - 1 : -1]
    )


def answer_text(read: ReadJob, answer: Answer) -> str:
    """What was answered, and where."""
    body = answer.body
    if isinstance(body, Measurement):
        said = quantity_text(body.value, body.unit)
    else:
        said = RESULT_WORDS[body.result]
        said += f" ({body.reason})" if body.reason else ""
    return ", ".join(filter(None, (said, area_text(read.job, body.area), body.bay, body.edge)))


def worst(findings: Iterable[Finding]) -> Finding | None:
    """The finding that asks most of a person: open ones, then silence, then the rest."""
    return min(findings, key=_urgency, default=None)


def _urgency(found: Finding) -> int:
    if found.is_open:
        return 0
    order = (Verdict.NOT_RECORDED, Verdict.UNDECIDED, Verdict.OUTSIDE, Verdict.WITHIN)
    return 1 + order.index(found.verdict) if found.verdict in order else len(order) + 1


def _line(
    read: ReadJob, check: Check, stage: Stage, answer: Answer, found: Finding | None, today: date
) -> AnswerLine:
    at = time_text(answer.at, read.job.time_zone, today)
    return AnswerLine(
        entry=answer.id,
        address=url_for("roof.entry", job=read.id, entry=answer.id),
        again=url_for("roof.check", job=read.id, stage=stage, check=check.key, again=answer.id),
        text=answer_text(read, answer),
        told=f"{person_text(read.job, answer.by)}, {at}",
        judged=judged(found) if found else None,
        is_open=found is not None and found.is_open,
    )

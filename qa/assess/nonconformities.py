"""What was done about findings outside limits: rework, concession, still open.

A finding is tied to a nonconformity by stage and by whichever of check, area, bay and subject the
nonconformity names; one that names none of check, bay and subject is tied to nothing, as it could
excuse anything. A supervisor's concession accepts findings that were there when it was given. A
rework puts findings right once the nonconformity is closed with evidence.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from qa.assess.finding import Finding
from qa.assess.frame import Frame, when
from qa.assess.judging import finding
from qa.record.job import Job, Recorded
from qa.record.kinds.decisions import Closure, Disposition, DispositionDecision, Nonconformity
from qa.record.kinds.parties import Role
from qa.record.registry import Kind
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage

CLOSED = "completion.nonconformities_closed"


class NonconformityState(StrEnum):
    """How a nonconformity stands."""

    OPEN = "open"
    PUT_RIGHT = "put_right"
    CONCEDED = "conceded"
    REJECTED = "rejected"
    CLOSED = "closed"
    """Closed without a decision that could be followed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A nonconformity with all that was decided on it.

    Attributes:
        disposition: the last decision that a supervisor made, or None.
        closure: the last closure, or None.
    """

    raised: Recorded[Nonconformity]
    disposition: Recorded[Disposition] | None
    closure: Recorded[Closure] | None

    @property
    def state(self) -> NonconformityState:
        """How the case stands."""
        decision = self.disposition.body.decision if self.disposition else None
        if decision is DispositionDecision.CONCESSION:
            return NonconformityState.CONCEDED
        if self.closure is None:
            return NonconformityState.OPEN
        if decision is DispositionDecision.REWORK and self.closure.body.entries:
            return NonconformityState.PUT_RIGHT
        if decision is DispositionDecision.REJECT:
            return NonconformityState.REJECTED
        return NonconformityState.CLOSED

    @property
    def is_open(self) -> bool:
        """Whether it is neither closed nor conceded in writing."""
        return self.state is NonconformityState.OPEN

    def covers(self, found: Finding) -> bool:
        """Whether the nonconformity is about a finding."""
        body = self.raised.body
        named = (body.check, body.bay, body.subject)
        return (
            body.stage is found.stage
            and any(name is not None for name in named)
            and body.check in (None, found.check)
            and body.area in (None, found.area)
            and body.bay in (None, found.bay)
            and body.subject in (None, found.subject)
        )


def cases(job: Job) -> tuple[Case, ...]:
    """Every nonconformity of the job with its decision and closure, by number."""
    crew = job.crew
    dispositions: dict[int, Recorded[Disposition]] = {}
    for decided in sorted(job.dispositions, key=when):
        if decided.by in crew and crew[decided.by].role is Role.SUPERVISOR:
            dispositions[decided.body.nonconformity] = decided
    closures = {closure.body.nonconformity: closure for closure in sorted(job.closures, key=when)}
    return tuple(
        Case(
            raised=raised,
            disposition=dispositions.get(raised.body.number),
            closure=closures.get(raised.body.number),
        )
        for raised in sorted(job.nonconformities, key=lambda nc: nc.body.number)
    )


def resolve(job: Job, findings: Iterable[Finding]) -> Iterator[Finding]:
    """The findings, those outside limits marked with what was done about them."""
    known = cases(job)
    if not known:
        yield from findings
        return
    seen_at = {entry.id: entry.at for entry in job.entries if entry.kind is not Kind.PHOTO}
    for found in findings:
        if found.verdict is not Verdict.OUTSIDE or found.put_right:
            yield found
            continue
        states = {
            case.state for case in known if case.covers(found) and _later(case, found, seen_at)
        }
        yield found._replace(
            put_right=NonconformityState.PUT_RIGHT in states,
            conceded=NonconformityState.CONCEDED in states,
        )


def _later(case: Case, found: Finding, seen_at: dict[str, datetime]) -> bool:
    """Whether the decision was made when all that the finding rests on could be seen.

    Photos are left out: one that came later shows a finding, and makes none.
    """
    if case.disposition is None:
        return False
    decided_at = case.disposition.at
    return all(seen_at[entry] <= decided_at for entry in found.entries if entry in seen_at)


def judge_nonconformities(frame: Frame) -> Iterator[Finding]:
    """How many nonconformities are neither closed nor conceded in writing."""
    known = cases(frame.job)
    still_open = [case.raised for case in known if case.is_open]
    numbers = ", ".join(str(raised.body.number) for raised in still_open)
    yield finding(
        frame,
        CLOSED,
        stage=Stage.COMPLETION,
        value=float(len(still_open)),
        expanded_uncertainty=0.0,
        on=still_open or [case.raised for case in known],
        remark=f"Open: number {numbers}." if numbers else f"{len(known)} were raised in all.",
    )

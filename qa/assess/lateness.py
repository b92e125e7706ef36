"""`record.timely`: whether entries reached the ledger soon after what they tell of.

Only a record that has passed through a ledger knows arrivals. An entry on work that was covered up
before the entry was made is late whatever its arrival.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from qa.assess.finding import Finding
from qa.assess.frame import Frame
from qa.assess.judging import finding
from qa.assess.stages import stage_of
from qa.record.job import Job, Recorded
from qa.record.schema import Body
from qa.trade.conformity import Verdict, judge
from qa.trade.vocabulary import Stage

TIMELY = "record.timely"


def judge_lateness(frame: Frame) -> Iterator[Finding]:
    """One finding for each stage with arrivals, and one for each entry that came late."""
    by_stage: dict[Stage, list[Recorded[Body]]] = {}
    for recorded in _told(frame.job):
        stage = stage_of(recorded.body)
        if stage is not None and recorded.entry.received_at is not None:
            by_stage.setdefault(stage, []).append(recorded)
    for stage, entries in sorted(by_stage.items(), key=lambda pair: pair[0].order):
        yield from _judge_stage(frame, stage, entries)


def _told(job: Job) -> Iterator[Recorded[Body]]:
    """The entries that tell of work, photos and sign-offs."""
    kinds: tuple[Sequence[Recorded[Body]], ...] = (
        job.conditions,
        job.measurements,
        job.observations,
        job.mixes,
        job.usages,
        job.examinations,
        job.interruptions,
        job.photos,
        job.sign_offs,
    )
    for entries in kinds:
        yield from entries


def delay_h(recorded: Recorded[Body]) -> float | None:
    """Hours from the stated time to the arrival, or None where no arrival is known."""
    received = recorded.entry.received_at
    return None if received is None else (received - recorded.at) / timedelta(hours=1)


def _judge_stage(
    frame: Frame, stage: Stage, entries: Sequence[Recorded[Body]]
) -> Iterator[Finding]:
    late = []
    worst: Recorded[Body] | None = None
    for recorded in entries:
        remark = _covered_before(frame, stage, recorded)
        if remark or _is_late(frame, recorded):
            late.append((recorded, remark))
        elif worst is None or (delay_h(recorded) or 0) > (delay_h(worst) or 0):
            worst = recorded
    if worst is not None:
        yield finding(
            frame,
            TIMELY,
            stage=stage,
            value=delay_h(worst),
            expanded_uncertainty=0.0,
            on=(worst,),
            remark=f"The slowest of {len(entries) - len(late)} entries that came in time.",
        )
    for recorded, remark in late:
        yield finding(
            frame,
            TIMELY,
            stage=stage,
            area=getattr(recorded.body, "area", None),
            bay=getattr(recorded.body, "bay", None),
            subject=recorded.id,
            value=delay_h(recorded),
            verdict=Verdict.OUTSIDE,
            on=(recorded,),
            remark=f"Recorded late: {recorded.entry.kind} of {frame.local_time(recorded.at)}. "
            f"{remark}".rstrip(),
        )


def _is_late(frame: Frame, recorded: Recorded[Body]) -> bool:
    verdict = judge(
        delay_h(recorded),
        limits=frame.specification.checks[TIMELY].limits,
        expanded_uncertainty=0.0,
        rule=frame.specification.rule,
    )
    return verdict is Verdict.OUTSIDE


def _covered_before(frame: Frame, stage: Stage, recorded: Recorded[Body]) -> str:
    """Why an entry of work was made too late to be seen, or nothing."""
    covering = frame.specification.stage_rule(stage).covered_by
    area = getattr(recorded.body, "area", None)
    if covering is None or area is None:
        return ""
    covering_mixes = frame.mixes_of(covering, area)
    covered_at = covering_mixes[0].at if covering_mixes else None
    if covered_at is None or recorded.at <= covered_at:
        return ""
    return f"The work had been covered on {frame.local_time(covered_at)}."

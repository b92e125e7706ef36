"""`record.timely`: whether entries reached the ledger soon after what they tell of.

Only a record that has passed through a ledger knows arrivals. A stated time that lies after the
arrival counts like one that lies as far before it. An entry on work that was covered up
before the entry was made is late whatever its arrival.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta

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
    covered_at = _covered_at(frame, stage)
    late = []
    worst: Recorded[Body] | None = None
    for recorded in entries:
        remark = _covered_before(frame, covered_at, recorded)
        if remark or _is_late(frame, recorded):
            late.append((recorded, remark))
        elif worst is None or (_apart_h(recorded) or 0) > (_apart_h(worst) or 0):
            worst = recorded
    if worst is not None:
        yield finding(
            frame,
            TIMELY,
            stage=stage,
            value=_apart_h(worst),
            expanded_uncertainty=0.0,
            on=(worst,),
            remark=_slowest(len(entries) - len(late)),
        )
    for recorded, remark in late:
        yield finding(
            frame,
            TIMELY,
            stage=stage,
            area=getattr(recorded.body, "area", None),
            bay=getattr(recorded.body, "bay", None),
            subject=recorded.id,
            value=_apart_h(recorded) if _is_late(frame, recorded) else None,
            verdict=Verdict.OUTSIDE,
            on=(recorded,),
            remark=f"Recorded late: {recorded.entry.kind} of {frame.local_time(recorded.at)}. "
            f"{remark}".rstrip(),
        )


def _apart_h(recorded: Recorded[Body]) -> float | None:
    """Hours between stated time and arrival, whichever came first."""
    delay = delay_h(recorded)
    return None if delay is None else abs(delay)


def _is_late(frame: Frame, recorded: Recorded[Body]) -> bool:
    verdict = judge(
        _apart_h(recorded),
        limits=frame.specification.checks[TIMELY].limits,
        expanded_uncertainty=0.0,
        rule=frame.specification.rule,
    )
    return verdict is Verdict.OUTSIDE


def _covered_before(
    frame: Frame, covered_at: Mapping[str | None, datetime], recorded: Recorded[Body]
) -> str:
    """Why an entry of work was made too late to be seen, or nothing."""
    moment = covered_at.get(getattr(recorded.body, "area", None))
    if moment is None or recorded.at <= moment:
        return ""
    return f"The work had been covered on {frame.local_time(moment)}."


def _covered_at(frame: Frame, stage: Stage) -> dict[str | None, datetime]:
    """When each area's work of a stage was covered for good.

    Under None stands when the last area was, for entries that name no area.
    """
    covering = frame.specification.stage_rule(stage).covered_by
    if covering is None:
        return {}
    first = {area: frame.mixes_of(covering, area)[:1] for area in frame.areas}
    moments: dict[str | None, datetime] = {
        area: mix.at for area, mixes in first.items() for mix in mixes
    }
    if moments and all(first.values()):
        moments[None] = max(moments.values())
    return moments


def _slowest(in_time: int) -> str:
    return f"The slowest of {in_time} entries that came in time." if in_time > 1 else ""

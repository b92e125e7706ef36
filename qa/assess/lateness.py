"""`record.timely`: whether entries reached the ledger soon after what they tell of.

Only a record that has passed through a ledger knows arrivals. A stated time that lies after the
arrival counts like one that lies as far before it. An entry on work that was covered up
before the entry was made is late whatever its arrival.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from operator import itemgetter

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
    in_time: list[tuple[float, Recorded[Body]]] = []
    late: list[Finding] = []
    for recorded in entries:
        apart_h = abs(delay_h(recorded) or 0.0)
        is_late, remark = _is_late(frame, apart_h), _covered_before(frame, covered_at, recorded)
        if is_late or remark:
            late.append(_late_finding(frame, stage, recorded, apart_h if is_late else None, remark))
        else:
            in_time.append((apart_h, recorded))
    if in_time:
        apart_h, worst = max(in_time, key=itemgetter(0))
        yield finding(
            frame,
            TIMELY,
            stage=stage,
            value=apart_h,
            expanded_uncertainty=0.0,
            on=(worst,),
            remark=_slowest(len(in_time)),
        )
    yield from late


def _late_finding(
    frame: Frame, stage: Stage, recorded: Recorded[Body], apart_h: float | None, remark: str
) -> Finding:
    said = f"Recorded late: {recorded.entry.kind} of {frame.local_time(recorded.at)}. {remark}"
    return finding(
        frame,
        TIMELY,
        stage=stage,
        area=getattr(recorded.body, "area", None),
        bay=getattr(recorded.body, "bay", None),
        subject=recorded.id,
        value=apart_h,
        verdict=Verdict.OUTSIDE,
        on=(recorded,),
        remark=said.rstrip(),
    )


def _is_late(frame: Frame, apart_h: float) -> bool:
    """Whether stated time and arrival lie too many hours apart, whichever came first."""
    verdict = judge(
        apart_h,
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

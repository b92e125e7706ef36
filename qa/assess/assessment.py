"""`assess`: the one way from a job and a specification to an assessment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from qa.assess.answers import Reading, readings_by_check
from qa.assess.conditions import judge_conditions
from qa.assess.consumption import judge_consumption
from qa.assess.cure import DRY_HOURS, judge_dry_hours, judge_topcoat_interval
from qa.assess.dryness import DRY, judge_dryness
from qa.assess.examinations import judge_examinations
from qa.assess.falls import judge_falls
from qa.assess.finding import Assessment, Finding, StageOutcome, StageStatus
from qa.assess.first_mixes import FIRST_MIX, judge_first_mixes
from qa.assess.frame import Frame, frame_of, grouped
from qa.assess.glass import judge_glass
from qa.assess.lateness import judge_lateness
from qa.assess.lot_balance import judge_lots
from qa.assess.mixes import judge_mixes
from qa.assess.nonconformities import judge_nonconformities, resolve
from qa.assess.photo_requests import judge_photos
from qa.assess.recorded import judge_recorded
from qa.assess.stages import (
    CREW,
    PERIMETER,
    is_released,
    judge_crew,
    judge_perimeter,
    judge_stages,
)
from qa.assess.waiving import not_applicable, waiver_of
from qa.record.job import Job
from qa.specification.model import Specification
from qa.trade.bays import parse_bay_key
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage


def assess(job: Job, specification: Specification) -> Assessment:
    """A job judged by a specification, laid out for that first; see `assess_frame`."""
    return assess_frame(frame_of(job, specification))


def assess_frame(frame: Frame) -> Assessment:
    """A job judged by a specification.

    Pure: the same job and specification give the same assessment, byte for byte.

    Args:
        frame: the fold of a record whose checks the specification knows, see
            `qa.assess.fitting.require_fitting`, laid out with the specification that it pins.
    """
    job, specification = frame.job, frame.specification
    findings = tuple(sorted(resolve(job, _findings(frame)), key=_order))
    by_stage = grouped(findings, lambda found: found.stage)
    return Assessment(
        job=job.reference,
        specification=specification.name,
        specification_sha256=specification.sha256,
        entries=len(job.entries),
        head=job.head,
        stages=tuple(
            StageOutcome(
                stage=stage,
                status=_status(by_stage.get(stage, ())),
                released=is_released(job, stage),
            )
            for stage in Stage
        ),
        findings=findings,
    )


def _findings(frame: Frame) -> Iterator[Finding]:
    answers = readings_by_check(frame)
    for found in _judged(frame, answers):
        silent = found.verdict is Verdict.NOT_RECORDED
        waiver = waiver_of(found, answers.get(found.check, ())) if silent else None
        yield found if waiver is None else not_applicable(frame, found, waiver)


def _judged(frame: Frame, answers: Mapping[str, Sequence[Reading]]) -> Iterator[Finding]:
    yield from judge_recorded(frame, answers)
    yield from judge_falls(frame, answers)
    yield from judge_perimeter(frame, answers.get(PERIMETER, ()))
    yield from judge_conditions(frame)
    yield from judge_dryness(frame, answers.get(DRY, ()))
    yield from judge_mixes(frame)
    yield from judge_crew(frame, answers.get(CREW, ()))
    yield from judge_first_mixes(frame, answers.get(FIRST_MIX, ()))
    yield from judge_examinations(frame)
    yield from judge_consumption(frame)
    yield from judge_glass(frame)
    yield from judge_topcoat_interval(frame)
    yield from judge_dry_hours(frame, answers.get(DRY_HOURS, ()))
    yield from judge_photos(frame)
    yield from judge_stages(frame)
    yield from judge_lateness(frame)
    yield from judge_nonconformities(frame)
    yield from judge_lots(frame)


def _order(found: Finding) -> tuple[object, ...]:
    bay = parse_bay_key(found.bay) if found.bay else None
    return (
        found.stage.order,
        found.check,
        found.area or "",
        (bay.row, bay.number) if bay else (0, 0),
        found.subject or "",
    )


def _status(findings: Sequence[Finding]) -> StageStatus:
    """How a stage stands; what is still outside weighs most, then what is not known."""
    if any(found.is_open for found in findings):
        return StageStatus.OUTSIDE
    unknown = (Verdict.NOT_RECORDED, Verdict.UNDECIDED)
    if any(found.verdict in unknown for found in findings):
        return StageStatus.INCOMPLETE
    if any(found.conceded for found in findings):
        return StageStatus.CONCEDED
    return StageStatus.PUT_RIGHT if any(f.put_right for f in findings) else StageStatus.WITHIN

"""A stage as a whole: sign-off, release, crew, edges all round."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from qa.assess.answers import Reading
from qa.assess.finding import Finding
from qa.assess.frame import Frame, Placed, when
from qa.assess.judging import finding
from qa.assess.recorded import judge_places, judge_series
from qa.record.job import Job, Recorded
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.record.kinds.parties import Role
from qa.record.kinds.readings import Conditions, Examination
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage

SIGNED_OFF = "stage.signed_off"
RELEASED = "stage.released"
CREW = "laminate.crew"
PERIMETER = "trims.perimeter_complete"
_TAPE_M = 0.005
"""Half a centimetre: lengths are given in metres to two places, so their sum can miss by less."""


def work_by_stage(job: Job) -> Mapping[Stage, list[Recorded[Body]]]:
    """The entries of work of each stage, in order of time: measured, seen, mixed and used."""
    kinds: tuple[Sequence[Recorded[Body]], ...] = (
        job.conditions,
        job.measurements,
        job.observations,
        job.mixes,
        job.usages,
        job.interruptions,
        job.examinations,
    )
    work: dict[Stage, list[Recorded[Body]]] = {stage: [] for stage in Stage}
    for entry in sorted((entry for entries in kinds for entry in entries), key=when):
        stage = stage_of(entry.body)
        if stage is not None:
            work[stage].append(entry)
    return work


def _work_proper(entries: Sequence[Recorded[Body]]) -> list[Recorded[Body]]:
    """What was done of a stage, without its readings of weather and deck.

    A reading covers nothing up: one before the work says whether it may begin, one after it tells
    the cure clock how warm the night was. Neither begins a stage nor goes on with it.
    """
    return [entry for entry in entries if not isinstance(entry.body, Conditions)]


def stage_of(body: Body) -> Stage | None:
    """The stage that an entry belongs to, or None for one of the job as a whole."""
    if isinstance(body, Examination):
        return Stage.LAMINATE
    stage: Stage | None = getattr(body, "stage", None)
    return stage


def judge_stages(frame: Frame) -> Iterator[Finding]:
    """The findings on sign-off and release of every stage."""
    work = {stage: _work_proper(entries) for stage, entries in work_by_stage(frame.job).items()}
    sign_offs = sorted(frame.job.sign_offs, key=when)
    for stage in Stage:
        of_stage = [sign_off for sign_off in sign_offs if sign_off.body.stage is stage]
        yield _signed_off(frame, stage, of_stage, work[stage])
        if frame.specification.stage_rule(stage).hold_point:
            begun = [work[later][0] for later in tuple(Stage)[stage.order + 1 :] if work[later]]
            yield _released(frame, stage, of_stage, min(begun, key=when, default=None))


def _signed_off(
    frame: Frame,
    stage: Stage,
    sign_offs: Sequence[Recorded[SignOff]],
    work: Sequence[Recorded[Body]],
) -> Finding:
    said = [s for s in sign_offs if s.body.decision is SignOffDecision.COMPLETE]
    complete = [s for s in said if _role_of(frame.job, s) is Role.INSTALLER]
    if not complete:
        remark = (
            f"A sign-off by {said[-1].by} does not count: the installer signs off." if said else ""
        )
        return finding(frame, SIGNED_OFF, stage=stage, remark=remark)
    last = complete[-1]
    if work and last.at < work[-1].at:
        return finding(
            frame,
            SIGNED_OFF,
            stage=stage,
            answer=False,
            on=(last, work[-1]),
            remark=f"Signed off on {frame.local_time(last.at)}, but work was recorded on "
            f"{frame.local_time(work[-1].at)}.",
        )
    remark = f"By {last.by} on {frame.local_time(last.at)}."
    return finding(frame, SIGNED_OFF, stage=stage, answer=True, on=(last,), remark=remark)


def supervisor_decisions(
    job: Job, sign_offs: Sequence[Recorded[SignOff]]
) -> list[Recorded[SignOff]]:
    """The releases and refusals among `sign_offs` that a supervisor made."""
    return [
        s
        for s in sign_offs
        if s.body.decision is not SignOffDecision.COMPLETE and _role_of(job, s) is Role.SUPERVISOR
    ]


def _role_of(job: Job, signed: Recorded[SignOff]) -> Role | None:
    """The role of the person who signed, or None for one who is not of the crew any more."""
    person = job.crew.get(signed.by)
    return person.role if person else None


def is_released(job: Job, stage: Stage) -> bool:
    """Whether a supervisor's last decision on a stage was to release it."""
    of_stage = [s for s in sorted(job.sign_offs, key=when) if s.body.stage is stage]
    decided = supervisor_decisions(job, of_stage)
    return bool(decided) and decided[-1].body.decision is SignOffDecision.RELEASED


def is_unsigned(job: Job, stage: Stage) -> bool:
    """Whether nobody has signed a stage as complete, so that what is missing may still come."""
    return not any(
        s.body.stage is stage and s.body.decision is SignOffDecision.COMPLETE for s in job.sign_offs
    )


def stage_in_hand(job: Job) -> Stage | None:
    """The first stage that is not signed off as complete, or was refused since; None at the end."""
    sign_offs = sorted(job.sign_offs, key=when)
    for stage in Stage:
        said = [s.body.decision for s in sign_offs if s.body.stage is stage]
        if not said or said[-1] is SignOffDecision.REFUSED:
            return stage
    return None


def releases_waiting(job: Job, specification: Specification) -> tuple[Recorded[SignOff], ...]:
    """The sign-offs of hold points on which no supervisor has decided since."""
    sign_offs = sorted(job.sign_offs, key=when)
    last = {s.body.stage: s for s in sign_offs}
    return tuple(
        last[stage]
        for stage in Stage
        if stage in last
        and specification.stage_rule(stage).hold_point
        and last[stage].body.decision is SignOffDecision.COMPLETE
    )


def _released(
    frame: Frame,
    stage: Stage,
    sign_offs: Sequence[Recorded[SignOff]],
    begun: Recorded[Body] | None,
) -> Finding:
    """Whether the stage was released before anything of a later stage began."""
    decided = supervisor_decisions(frame.job, sign_offs)
    before = [s for s in decided if begun is None or s.at <= begun.at]
    if before and before[-1].body.decision is SignOffDecision.RELEASED:
        said = f"By {before[-1].by} on {frame.local_time(before[-1].at)}."
        return finding(frame, RELEASED, stage=stage, answer=True, on=(before[-1],), remark=said)
    if begun is None and not decided:
        return finding(frame, RELEASED, stage=stage, remark=_not_by_supervisor(frame, sign_offs))
    if begun is None:
        remark = f"Refused on {frame.local_time(decided[-1].at)}."
        return finding(frame, RELEASED, stage=stage, answer=False, on=(decided[-1],), remark=remark)
    later = next((s for s in decided if s.at > begun.at), None)
    remark = f"The next stage began on {frame.local_time(begun.at)}, {_then(frame, later)}."
    remark = f"{remark} {_not_by_supervisor(frame, sign_offs)}".rstrip()
    return finding(frame, RELEASED, stage=stage, answer=False, on=(begun,), remark=remark)


def _then(frame: Frame, later: Recorded[SignOff] | None) -> str:
    if later is None:
        return "and no supervisor has released this one"
    return f"and this one was {later.body.decision} on {frame.local_time(later.at)}"


def _not_by_supervisor(frame: Frame, sign_offs: Sequence[Recorded[SignOff]]) -> str:
    real = supervisor_decisions(frame.job, sign_offs)
    others = [
        s for s in sign_offs if s.body.decision is not SignOffDecision.COMPLETE and s not in real
    ]
    if not others:
        return ""
    return f"A decision by {others[-1].by} does not count: only a supervisor releases or refuses."


def judge_crew(frame: Frame, counted: Sequence[Reading]) -> Iterator[Finding]:
    """People laminating: as counted, else as many as logged laminating work.

    Args:
        frame: the job laid out for judging.
        counted: the measurements of `laminate.crew`.
    """
    if counted:
        yield from judge_places(frame, frame.specification.checks[CREW], counted)
        return
    entries: list[Recorded[Body]] = [
        *frame.mixes.get(Stage.LAMINATE, ()),
        *frame.job.examinations,
    ]
    people = sorted({entry.by for entry in entries})
    lower = frame.specification.checks[CREW].limits.lower
    if not people or (lower is not None and len(people) < lower):
        remark = "Nobody counted, and fewer people logged laminating work." if people else ""
        yield finding(frame, CREW, stage=Stage.LAMINATE, remark=remark)
        return
    first = [next(entry for entry in entries if entry.by == person) for person in people]
    yield finding(
        frame,
        CREW,
        stage=Stage.LAMINATE,
        value=float(len(people)),
        expanded_uncertainty=0.0,
        on=first,
        remark=f"Laminating was logged by {', '.join(people)}.",
    )


def judge_perimeter(frame: Frame, answers: Sequence[Reading]) -> Iterator[Finding]:
    """Trim on the whole perimeter: people's answer, and metres of edge against the outline.

    Args:
        frame: the job laid out for judging.
        answers: observations and measurements of `trims.perimeter_complete`.
    """
    placed = Placed(answers, lambda answer: answer.area)
    for key, area in frame.areas.items():
        here = placed.at(key)
        measured = {answer.edge: answer for answer in here if answer.value is not None}
        said = [replace(answer, area=key) for answer in here if answer.result is not None]
        fitted_m = sum(edge.length_m for edge in area.body.edges)
        if measured:
            fitted_m = sum(answer.value or 0.0 for answer in measured.values())
        remark = (
            f"Edges fitted: {quantity_text(fitted_m, 'm')}; perimeter of the outline: "
            f"{quantity_text(area.roof.perimeter_m, 'm')}."
        )
        make = partial(finding, frame, PERIMETER, stage=Stage.TRIMS, area=key, remark=remark)
        asked_m = area.roof.perimeter_m - _TAPE_M * max(1, len(area.body.edges))
        if fitted_m < asked_m:
            yield make(answer=False, on=[answer.on for answer in here])
        elif said:
            check = frame.specification.checks[PERIMETER]
            yield from judge_series(frame, check, said, remark=remark)
        else:
            on = [answer.on for answer in measured.values()]
            yield make(answer=True if on else None, on=on)

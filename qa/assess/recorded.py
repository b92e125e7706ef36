"""Checks that people answer: measurements and observations, with their re-measurements.

Readings of one check at one place form a series. A reading that was outside and for which a later
one stands, or one that a later entry names in `replaces`, was re-measured: it stays a finding of
its own, put right where the reading that took its place is within. What is left is judged by its
worst reading.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from qa.assess.answers import Reading
from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea, Placed, grouped
from qa.assess.judging import finding
from qa.record.kinds.readings import Result
from qa.specification.model import Check, Form, Need, Per
from qa.trade.conformity import Limits, Verdict
from qa.trade.vocabulary import EdgeKind

BATTENS = "trims.battens"
BATTEN_OFFSET = "trims.batten_offset"

ANSWERED = (Form.MEASURED, Form.OBSERVED, Form.EITHER)

RECKONED_TOO = frozenset(
    {
        "survey.fall",
        "survey.back_fall",
        "trims.perimeter_complete",
        "laminate.crew",
        "completion.dry_hours",
    }
)
"""Checks that people answer and that other entries answer too; modules of their own judge them."""


def judge_recorded(frame: Frame, answers: Mapping[str, Sequence[Reading]]) -> Iterator[Finding]:
    """The findings of every check that people alone answer.

    Args:
        frame: the job laid out for judging.
        answers: the readings by check.
    """
    for check in frame.specification.checks.values():
        if check.form not in ANSWERED or check.key in RECKONED_TOO:
            continue
        of_check = answers.get(check.key, ())
        yield from judge_check(frame, check, of_check)
        if check.per is not Per.EDGE:
            yield from _unanswered(frame, check, of_check)


def judge_check(frame: Frame, check: Check, readings: Sequence[Reading]) -> Iterator[Finding]:
    """The findings of one check by its readings, at every place or edge that they name."""
    if check.per is Per.EDGE:
        yield from _judge_edges(frame, check, readings)
    else:
        yield from judge_places(frame, check, readings)


def judge_places(frame: Frame, check: Check, readings: Iterable[Reading]) -> Iterator[Finding]:
    """One series of findings for each place at which the check was answered."""
    places = grouped(readings, lambda r: (r.stage, r.area, r.bay, r.edge))
    for series in places.values():
        yield from judge_series(frame, check, series)


def _unanswered(frame: Frame, check: Check, readings: Sequence[Reading]) -> Iterator[Finding]:
    """“Not recorded” for every stage and area where an answer is asked for and there is none."""
    if check.need is not Need.ALWAYS:
        return
    for stage in check.stages:
        answered = {reading.area for reading in readings if reading.stage is stage}
        if None in answered or (check.per is Per.JOB and answered):
            continue
        if check.per is Per.JOB:
            yield finding(frame, check.key, stage=stage)
            continue
        for area in frame.areas:
            if area not in answered:
                yield finding(frame, check.key, stage=stage, area=area)


def _judge_edges(frame: Frame, check: Check, readings: Sequence[Reading]) -> Iterator[Finding]:
    """A check of every edge that it concerns; a reading of a whole area holds for all its edges."""
    placed = Placed(readings, lambda reading: reading.area)
    for key, area in frame.areas.items():
        here = placed.at(key)
        for edge, limits in edge_limits(frame, check, area).items():
            series = [
                replace(reading, area=key, edge=edge)
                for reading in here
                if reading.edge in (edge, None)
            ]
            if series:
                yield from judge_series(frame, check, series, limits=limits)
            elif check.need is Need.ALWAYS:
                stage = check.stages[0]
                yield finding(frame, check.key, stage=stage, area=key, subject=edge, limits=limits)


def edge_limits(frame: Frame, check: Check, area: LaidArea) -> dict[str, Limits]:
    """The edges of an area that a check concerns, with the limits that hold at each."""
    if check.key == BATTENS:
        battens = frame.specification.battens
        return {
            edge.edge: Limits(lower=battens[edge.kind].value, upper=battens[edge.kind].value)
            for edge in area.body.edges
            if edge.kind in battens
        }
    return {
        edge.edge: check.limits
        for edge in area.body.edges
        if check.key != BATTEN_OFFSET or edge.kind is EdgeKind.DRIP_EDGE
    }


def judge_series(
    frame: Frame,
    check: Check,
    series: Sequence[Reading],
    *,
    limits: Limits | None = None,
    remark: str = "",
) -> Iterator[Finding]:
    """The findings of all readings of one check at one place.

    Args:
        frame: the job laid out for judging.
        check: the check that the readings answer.
        series: in order of time, not empty.
        limits: where given, they replace the check's own.
        remark: what the expert should know beside each reading.
    """
    judge_one = partial(_judge_reading, frame, check, limits=limits, remark=remark)
    judged = [(reading, judge_one(reading)) for reading in series]
    replaced = {identifier for reading in series for identifier in reading.replaces}
    standing = [
        (reading, found)
        for index, (reading, found) in enumerate(judged)
        if reading.on.id not in replaced
        and not (found.verdict is Verdict.OUTSIDE and index + 1 < len(judged))
    ]
    governing = max(standing, key=lambda pair: _severity(pair[1])) if standing else judged[-1]
    is_right = governing[1].verdict is Verdict.WITHIN
    for reading, found in judged:
        if reading is governing[0]:
            others = tuple(other.on.id for other, _ in standing if other is not reading)
            yield found._replace(entries=found.entries + others)
        elif found.verdict is Verdict.OUTSIDE:
            yield found._replace(put_right=is_right)


_SEVERITY = {
    Verdict.NOT_APPLICABLE: 0,
    Verdict.NOT_RECORDED: 1,
    Verdict.WITHIN: 2,
    Verdict.UNDECIDED: 3,
    Verdict.OUTSIDE: 4,
}


def _severity(found: Finding) -> tuple[int, float]:
    """How much a finding speaks against the work: by verdict, then by nearness to the limit."""
    value = found.value
    if value is None:
        return _SEVERITY[found.verdict], 0.0
    rooms = [
        room
        for room in (
            None if found.lower is None else value - found.lower,
            None if found.upper is None else found.upper - value,
        )
        if room is not None
    ]
    return _SEVERITY[found.verdict], -min(rooms, default=0.0)


def _judge_reading(
    frame: Frame, check: Check, reading: Reading, *, limits: Limits | None, remark: str
) -> Finding:
    said = (remark, reading.remark, f"Note: {reading.note}" if reading.note else "")
    make = partial(
        finding,
        frame,
        check.key,
        stage=reading.stage,
        area=reading.area,
        bay=reading.bay,
        subject=reading.edge,
        on=(reading.on,),
        limits=limits,
        remark=" ".join(filter(None, said)),
    )
    if reading.result is Result.NOT_APPLICABLE:
        return make(verdict=Verdict.NOT_APPLICABLE, reason=reading.reason)
    if reading.result is not None:
        good = (reading.result is Result.YES) == (check.expects is not False)
        return make(answer=good)
    asked = check.limits if limits is None else limits
    if asked.lower is None and asked.upper is None:
        return make(
            value=reading.value,
            verdict=Verdict.NOT_APPLICABLE,
            reason="a cross-check without a limit of its own",
        )
    return make(value=reading.value, expanded_uncertainty=reading.expanded_uncertainty)

"""Judging one entry as it is made: what a person on the roof is told before the next bucket.

The same modules judge as in `assess`; they are given a job that holds this entry alone, so the time
that it takes does not grow with the record. What only the whole record can show, such as
consumption or the interval between readings, is left to `assess`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from qa.assess.answers import readings_by_check
from qa.assess.conditions import judge_air_of_mix, judge_reading, last_readings
from qa.assess.examinations import EXAMINED, judge_examinations
from qa.assess.finding import Finding
from qa.assess.frame import Frame, Placed, frame_of
from qa.assess.mixes import judge_mixes
from qa.assess.recorded import judge_check
from qa.assess.stages import PERIMETER
from qa.record.job import Job, Recorded
from qa.record.kinds.readings import Conditions, Examination, Measurement, Observation
from qa.record.kinds.supplies import Mix
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.conformity import Verdict

OF_THE_WHOLE = frozenset({EXAMINED})
"""Checks whose finding names single entries and speaks of all of them."""


def ground_frame(ground: Job, specification: Specification) -> Frame:
    """The frame for judging single entries of a job.

    Args:
        ground: the job with nothing but its opening, areas, instruments and lots.
        specification: the one that the job pins.
    """
    return frame_of(ground, specification)


def judge_at_once(
    frame: Frame, recorded: Recorded[Body], *, reading: Recorded[Conditions] | None = None
) -> tuple[Finding, ...]:
    """The findings that rest on one entry, decided or undecided.

    Args:
        frame: as `ground_frame` answers it.
        recorded: the entry.
        reading: the last reading of the same stage, by which a mix's air is judged.
    """
    return tuple(
        found
        for found in _judged(frame, recorded, reading)
        if recorded.id in found.entries
        and found.verdict is not Verdict.NOT_RECORDED
        and found.check not in OF_THE_WHOLE
    )


def _judged(
    frame: Frame, recorded: Recorded[Body], reading: Recorded[Conditions] | None
) -> Iterator[Finding]:
    one: Recorded[Any] = recorded
    match recorded.body:
        case Mix():
            yield from judge_mixes(_with_mix(frame, one))
            readings = () if reading is None else (reading,)
            air = last_readings(frame, readings).at(one)
            yield from judge_air_of_mix(frame, one, air)
        case Conditions():
            yield from judge_reading(frame, one)
            if recorded.body.moisture_pct is not None:
                yield from _answered(replace(frame, job=replace(frame.job, conditions=(one,))))
        case Examination():
            seen = Placed([one], lambda looked: looked.body.area)
            yield from judge_examinations(replace(frame, examinations=seen))
        case Measurement():
            yield from _answered(replace(frame, job=replace(frame.job, measurements=(one,))))
        case Observation():
            yield from _answered(replace(frame, job=replace(frame.job, observations=(one,))))


def _with_mix(frame: Frame, mix: Recorded[Mix]) -> Frame:
    return replace(
        frame,
        job=replace(frame.job, mixes=(mix,)),
        mixes={mix.body.stage: [mix]},
        mixes_by_area=Placed([mix], lambda one: one.body.area),
    )


def _answered(frame: Frame) -> Iterator[Finding]:
    """The findings of the one answer that the frame's job holds."""
    for key, readings in readings_by_check(frame).items():
        if key == PERIMETER and any(answer.value is not None for answer in readings):
            continue  # metres of single edges; their sum is judged with the whole record
        check = frame.specification.checks[key]
        yield from judge_check(frame, check, readings)

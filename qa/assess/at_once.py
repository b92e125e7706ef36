"""Judging one entry as it is made: what a person on the roof is told before the next bucket.

The same functions judge as in `assess`; they are given this entry alone, so the time that it takes
does not grow with the record. What only the whole record can show, such as consumption or the
interval between readings, is left to `assess`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from qa.assess.answers import reading_of
from qa.assess.conditions import judge_air_of_mix, judge_reading, last_readings
from qa.assess.examinations import judge_examination
from qa.assess.finding import Finding
from qa.assess.frame import Frame, frame_of
from qa.assess.mixes import judge_mix
from qa.assess.recorded import judge_check
from qa.assess.stages import PERIMETER
from qa.record.job import Job, Recorded
from qa.record.kinds.readings import Conditions, Examination, Measurement, Observation
from qa.record.kinds.supplies import Mix
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.conformity import Verdict


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
        if recorded.id in found.entries and found.verdict is not Verdict.NOT_RECORDED
    )


def _judged(
    frame: Frame, recorded: Recorded[Body], reading: Recorded[Conditions] | None
) -> Iterator[Finding]:
    one: Recorded[Any] = recorded
    match recorded.body:
        case Mix():
            yield from judge_mix(frame, one)
            readings = () if reading is None else (reading,)
            air = last_readings(frame, readings).at(one)
            yield from judge_air_of_mix(frame, one, air)
        case Conditions():
            yield from judge_reading(frame, one)
            if recorded.body.moisture_pct is not None:
                yield from _answered(frame, one)
        case Examination():
            area = frame.areas.get(recorded.body.area)
            if area is not None:
                yield from judge_examination(frame, area, one)
        case Measurement() | Observation():
            yield from _answered(frame, one)


def _answered(frame: Frame, answer: Recorded[Any]) -> Iterator[Finding]:
    """The findings of one answer to a check."""
    key, reading = reading_of(frame.known, answer)
    if key == PERIMETER and reading.value is not None:
        return  # metres of single edges; their sum is judged with the whole record
    yield from judge_check(frame, frame.specification.checks[key], (reading,))

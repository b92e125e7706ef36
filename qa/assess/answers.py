"""What people answered to checks: measurements, observations and moisture, as readings."""

from __future__ import annotations

from dataclasses import dataclass
from operator import itemgetter
from typing import Any

from qa.assess.frame import Frame, grouped, when
from qa.assess.instruments import Instruments
from qa.assess.known_uncertainty import KnownUncertainty
from qa.record.job import Recorded
from qa.record.kinds.readings import Conditions, Measurement, Observation, Result
from qa.trade.vocabulary import Stage

MOISTURE = "deck.moisture"

_COUNT = "1"
"""The unit of a count, which is exact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One answer to a check: a value, or yes or no, or that it does not apply.

    Attributes:
        result: the answer to an observation, or None for a measurement.
        expanded_uncertainty: of the value, k = 2, from its instrument; 0 for a count.
        remark: why the instrument that was named gives no uncertainty; or nothing.
    """

    on: Recorded[Measurement] | Recorded[Observation] | Recorded[Conditions]
    stage: Stage
    area: str | None
    bay: str | None
    edge: str | None
    value: float | None = None
    result: Result | None = None
    reason: str | None = None
    note: str | None = None
    expanded_uncertainty: float | None = None
    remark: str = ""
    replaces: tuple[str, ...] = ()


def readings_by_check(frame: Frame) -> dict[str, list[Reading]]:
    """Every measurement and observation of the job as readings, by check, in order of time."""
    job = frame.job
    moisture = (look for look in job.conditions if look.body.moisture_pct is not None)
    answers: list[Recorded[Any]] = [*job.measurements, *job.observations, *moisture]
    pairs = [reading_of(frame.known, answer) for answer in sorted(answers, key=when)]
    return {
        check: [reading for _, reading in group]
        for check, group in grouped(pairs, itemgetter(0)).items()
    }


def reading_of(known: KnownUncertainty, answer: Recorded[Any]) -> tuple[str, Reading]:
    """The check that a measurement, an observation or a look answers, and its answer.

    Args:
        known: how well the job's quantities are known.
        answer: the entry; a look at the weather answers the moisture of the deck.
    """
    match answer.body:
        case Measurement(check=check):
            return check, _of_measurement(answer, known.instruments)
        case Observation(check=check):
            return check, _of_observation(answer)
    return MOISTURE, _of_moisture(answer, known)


def _of_measurement(measured: Recorded[Measurement], instruments: Instruments) -> Reading:
    body = measured.body
    known, remark = 0.0 if body.unit == _COUNT else None, ""
    if body.instrument is not None and body.unit != _COUNT:
        known = instruments.in_unit(body.instrument, body.unit)
        remark = instruments.unit_gap_text(body.instrument, body.unit)
    return Reading(
        on=measured,
        stage=body.stage,
        area=body.area,
        bay=body.bay,
        edge=body.edge,
        value=body.value,
        expanded_uncertainty=known,
        remark=remark,
        replaces=body.replaces or (),
    )


def _of_observation(observed: Recorded[Observation]) -> Reading:
    body = observed.body
    return Reading(
        on=observed,
        stage=body.stage,
        area=body.area,
        bay=body.bay,
        edge=body.edge,
        result=body.result,
        reason=body.reason,
        note=body.note,
        replaces=body.replaces or (),
    )


def _of_moisture(looked: Recorded[Conditions], known: KnownUncertainty) -> Reading:
    body = looked.body
    of_reading = known.of_reading(body.instruments)
    return Reading(
        on=looked,
        stage=body.stage,
        area=body.area,
        bay=None,
        edge=None,
        value=body.moisture_pct,
        expanded_uncertainty=of_reading.moisture_pct,
        remark=of_reading.remark,
    )

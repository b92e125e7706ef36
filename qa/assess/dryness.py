"""`conditions.dry`: no rain from start to cure, or covered and dried before the restart.

Rain is known from readings, from interruptions and from people's answers. Rain that was answered
by stopping, covering and looking again before the next mix is no fault; rain that met open wet
work, or a restart without a second look, is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from qa.assess.answers import Reading
from qa.assess.finding import Finding
from qa.assess.frame import Frame, Placed
from qa.assess.judging import finding
from qa.assess.recorded import judge_series
from qa.record.job import Recorded
from qa.record.kinds.readings import Cause, Conditions, Interruption, Result
from qa.record.kinds.supplies import Mix
from qa.record.schema import Body
from qa.trade.vocabulary import WET_STAGES, Stage

DRY = "conditions.dry"
DRY_HOURS = "completion.dry_hours"
_BEFORE_START = timedelta(hours=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Weather:
    """What is known of rain on one area during one stage."""

    mixes: Sequence[Recorded[Mix]]
    readings: Sequence[Recorded[Conditions]]
    answers: Sequence[Reading]
    interruptions: Sequence[Recorded[Interruption]]


def judge_dryness(frame: Frame, answers: Sequence[Reading]) -> Iterator[Finding]:
    """The findings of `conditions.dry` for every wet stage and area.

    Args:
        frame: the job laid out for judging.
        answers: the observations of `conditions.dry`.
    """
    placed = Placed(answers, lambda answer: answer.area)
    for stage in WET_STAGES:
        for area in frame.areas:
            weather = _weather(frame, stage, area, placed.at(area))
            yield from _judge_area(frame, stage, area, weather)


def _weather(frame: Frame, stage: Stage, area: str, answers: Sequence[Reading]) -> _Weather:
    readings = frame.readings_of(stage, area)
    interruptions = frame.interruptions_of(stage, area)
    return _Weather(
        mixes=frame.mixes_of(stage, area),
        readings=[reading for reading in readings if reading.body.rain is not None],
        answers=[answer for answer in answers if answer.stage is stage],
        interruptions=[found for found in interruptions if found.body.cause is Cause.RAIN],
    )


def _judge_area(frame: Frame, stage: Stage, area: str, weather: _Weather) -> Iterator[Finding]:
    faults = [*_faults(frame, area, weather)]
    on: list[Recorded[Body]] = [
        *weather.readings,
        *weather.interruptions,
        *(answer.on for answer in weather.answers),
    ]
    if faults:
        remark = " ".join(sentence for _, sentence in faults)
        on = [entry for entry, _ in faults]
        yield finding(frame, DRY, stage=stage, area=area, answer=False, on=on, remark=remark)
        return
    if any(a.result in (Result.NO, Result.NOT_APPLICABLE) for a in weather.answers):
        check = frame.specification.checks[DRY]
        yield from judge_series(frame, check, weather.answers)
        return
    if not on:
        if weather.mixes or not frame.mixes.get(stage):
            yield finding(frame, DRY, stage=stage, area=area)
        return
    remark = " ".join(_told(frame, found) for found in weather.interruptions)
    yield finding(frame, DRY, stage=stage, area=area, answer=True, on=on, remark=remark)


def _faults(frame: Frame, area: str, weather: _Weather) -> Iterator[tuple[Recorded[Body], str]]:
    """Every entry that tells of rain on the work, with what is wrong."""
    for interruption in weather.interruptions:
        fault = _interruption_fault(frame, area, weather, interruption)
        if fault:
            yield interruption, fault
    for reading in weather.readings:
        fault = _reading_fault(frame, weather, reading)
        if fault:
            yield reading, fault


def _told(frame: Frame, interruption: Recorded[Interruption]) -> str:
    body = interruption.body
    until = f" until {frame.local_time(body.until)}" if body.until else ""
    protection = body.protection.rstrip(".")
    return (
        f"Rain from {frame.local_time(body.from_)}{until}: {protection}; looked at again before "
        "the restart."
    )


def _interruption_fault(
    frame: Frame, area: str, weather: _Weather, interruption: Recorded[Interruption]
) -> str | None:
    """What is wrong with how rain was answered, or None."""
    body = interruption.body
    began = frame.local_time(body.from_)
    after = [mix for mix in weather.mixes if mix.at > body.from_]
    if body.until is None:
        if after:
            return f"Rain from {began} was never noted as over, and work went on."
        return None
    during = [mix for mix in after if mix.at < body.until]
    if during:
        return f"Mix {during[0].body.mix} was made during the rain of {began}."
    if after and not _dry_again(weather, body.until, after[0].at):
        return (
            f"Nobody looked whether the area was dry between the rain of {began} and mix "
            f"{after[0].body.mix}."
        )
    return _bay_fault(frame, area, interruption)


def _dry_again(weather: _Weather, since: datetime, before: datetime) -> bool:
    """Whether a reading without rain or a “yes” stands between two times."""
    looked = [r.at for r in weather.readings if r.body.rain is False]
    looked += [a.on.at for a in weather.answers if a.result is Result.YES]
    return any(since <= moment <= before for moment in looked)


def _bay_fault(frame: Frame, area: str, interruption: Recorded[Interruption]) -> str | None:
    """Which bays that the rain met were not examined again after it, or None."""
    body = interruption.body
    if body.stage is not Stage.LAMINATE or body.until is None:
        return None
    examined = {
        examination.body.bay
        for examination in frame.examinations.at(area)
        if examination.at >= body.until
    }
    missing = [bay for bay in body.bays or () if bay not in examined]
    if not missing:
        return None
    return f"Rain met bays {', '.join(missing)}; they were not examined after it."


def _until_cured(frame: Frame) -> timedelta:
    """How long after its last mix rain can still harm a stage: as long as the roof is kept dry."""
    hours = frame.specification.checks[DRY_HOURS].limits.lower
    return timedelta(hours=hours or 0)


def _reading_fault(frame: Frame, weather: _Weather, reading: Recorded[Conditions]) -> str | None:
    """Why a reading of rain speaks against the work, or None where an interruption answers it."""
    if not reading.body.rain or not weather.mixes:
        return None
    start, last = weather.mixes[0].at, weather.mixes[-1].at
    if not start - _BEFORE_START <= reading.at <= last + _until_cured(frame):
        return None
    if reading.at < start and _dry_again(weather, reading.at, start):
        return None
    if any(_answers(weather, interruption, reading) for interruption in weather.interruptions):
        return None
    return (
        f"Rain was noted on {frame.local_time(reading.at)} and no interruption with cover stands "
        "for it."
    )


def _answers(
    weather: _Weather, interruption: Recorded[Interruption], reading: Recorded[Conditions]
) -> bool:
    """Whether work stood still for the rain of a reading: then, or with no mix made in between."""
    body = interruption.body
    if body.until is not None and reading.at > body.until:
        return False
    if reading.at >= body.from_:
        return True
    in_between = any(reading.at < mix.at < body.from_ for mix in weather.mixes)
    return body.from_ - reading.at <= _BEFORE_START and not in_between

"""What a crew writes down most: measurements, answers, the weather, sign-offs."""

from __future__ import annotations

from qa.demo.calendar import NELL, ORLA
from qa.demo.diary import Diary
from qa.demo.supplies import AIR_PROBE, DECK_PROBE, HYGROMETER
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.record.kinds.readings import Conditions, Measurement, Observation, Result


def measure(
    diary: Diary,
    clock: str,
    by: str,
    check: str,
    value: float,
    unit: str,
    *,
    area: str,
    edge: str | None = None,
    instrument: str | None = None,
) -> str:
    """Writes a measurement of the diary's stage and answers its id."""
    body = Measurement(
        stage=diary.stage,
        check=check,
        value=value,
        unit=unit,
        area=area,
        edge=edge,
        instrument=instrument,
    )
    return diary.write(clock, by, body)


def observe(
    diary: Diary,
    clock: str,
    by: str,
    check: str,
    *,
    area: str | None = None,
    result: Result = Result.YES,
    note: str | None = None,
) -> str:
    """Writes an answer to a check of the diary's stage and answers its id."""
    body = Observation(stage=diary.stage, check=check, result=result, area=area, note=note)
    return diary.write(clock, by, body)


def read_the_weather(
    diary: Diary,
    clock: str,
    by: str,
    *,
    air_c: float,
    humidity_pct: float,
    deck_c: float,
    wind_m_per_s: float | None = None,
) -> str:
    """Writes air, humidity and deck on a dry roof, for the diary's stage, and answers the id."""
    body = Conditions(
        stage=diary.stage,
        air_c=air_c,
        humidity_pct=humidity_pct,
        deck_c=deck_c,
        wind_m_per_s=wind_m_per_s,
        rain=False,
        instruments=(AIR_PROBE, HYGROMETER, DECK_PROBE),
    )
    return diary.write(clock, by, body)


def sign_off(diary: Diary, clock: str, statement: str, *, by: str = NELL) -> None:
    """The installer says that the diary's stage is done."""
    _sign(diary, clock, by, SignOffDecision.COMPLETE, statement)


def release(diary: Diary, clock: str, statement: str) -> None:
    """The supervisor releases the diary's stage."""
    _sign(diary, clock, ORLA, SignOffDecision.RELEASED, statement)


def _sign(diary: Diary, clock: str, by: str, decision: SignOffDecision, statement: str) -> None:
    diary.write(clock, by, SignOff(stage=diary.stage, decision=decision, statement=statement))

"""What was seen and measured, and what interrupted the work."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Annotated

from qa.record import fields
from qa.record.kinds.quantities import (
    AirC,
    BayKey,
    BayKeys,
    DeckC,
    ExaminedM2,
    HumidityPct,
    Key,
    Keys,
    Measured,
    MoisturePct,
    OpaqueCm2,
    Passes,
    Pinholes,
    Text,
    ThicknessesMm,
    TrappedAir,
    Truth,
    WindMPerS,
)
from qa.record.schema import Body
from qa.trade.vocabulary import Stage, WetOut

StageField = Annotated[Stage, fields.choice(Stage)]
Replaces = Annotated[tuple[str, ...], fields.some(fields.uuid, what="entry id")]
"""Ids of the entries that this one re-measures; they stay in the record."""


class Result(StrEnum):
    """The answer to an observation."""

    YES = "yes"
    NO = "no"
    NOT_APPLICABLE = "not_applicable"


class Cause(StrEnum):
    """What interrupted the work."""

    RAIN = "rain"
    WIND = "wind"
    COLD = "cold"
    HEAT = "heat"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions(Body):
    """The body of kind `conditions`: one look at thermometer, hygrometer and sky."""

    stage: StageField
    area: Key | None = None
    air_c: AirC | None = None
    humidity_pct: HumidityPct | None = None
    deck_c: DeckC | None = None
    moisture_pct: MoisturePct | None = None
    wind_m_per_s: WindMPerS | None = None
    rain: Truth | None = None
    instruments: Keys | None = None

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses a reading of nothing."""
        values = (self.air_c, self.humidity_pct, self.deck_c, self.moisture_pct)
        if all(value is None for value in (*values, self.wind_m_per_s, self.rain)):
            yield "", "has no value; give at least one reading"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement(Body):
    """The body of kind `measurement`; the unit is that of the check's limit."""

    stage: StageField
    check: Key
    value: Measured
    unit: Key
    area: Key | None = None
    bay: BayKey | None = None
    edge: Key | None = None
    instrument: Key | None = None
    replaces: Replaces | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation(Body):
    """The body of kind `observation`."""

    stage: StageField
    check: Key
    result: Annotated[Result, fields.choice(Result)]
    reason: Text | None = None
    area: Key | None = None
    bay: BayKey | None = None
    edge: Key | None = None
    note: Text | None = None
    replaces: Replaces | None = None

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses “not applicable” without a reason."""
        if self.result is Result.NOT_APPLICABLE and self.reason is None:
            yield ".reason", "is missing; say why the check does not apply"


@dataclass(frozen=True, slots=True, kw_only=True)
class Examination(Body):
    """The body of kind `examination`: one bay of laminate, looked at before it is covered."""

    area: Key
    bay: BayKey
    wet_out: Annotated[WetOut, fields.choice(WetOut)]
    pinholes: Pinholes
    examined_m2: ExaminedM2
    opaque_cm2: OpaqueCm2 | None = None
    trapped_air: TrappedAir | None = None
    passes: Passes | None = None
    thickness_mm: ThicknessesMm | None = None
    after_repair: Truth | None = None
    replaces: Replaces | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Interruption(Body):
    """The body of kind `interruption`; without `until` it is still open."""

    stage: StageField
    cause: Annotated[Cause, fields.choice(Cause)]
    from_: Annotated[datetime, fields.moment]
    protection: Text
    area: Key | None = None
    until: Annotated[datetime, fields.moment] | None = None
    bays: BayKeys | None = None

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses an interruption that ends before it begins."""
        if self.until is not None and self.until < self.from_:
            yield ".until", "is before “from”; an interruption ends after it begins"

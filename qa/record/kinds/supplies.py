"""Instruments, lots, and what was mixed and used."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Annotated

from qa.record import fields
from qa.record.kinds.quantities import (
    ActiveOxygenPct,
    AirC,
    BayKeys,
    CatalystMl,
    DeckC,
    DensityGPerMl,
    Key,
    MassKg,
    Quantity,
    QuantityOrNone,
    Seconds,
    Text,
    Uncertainty,
)
from qa.record.schema import Body
from qa.trade.vocabulary import WET_STAGES, Material, Stage


class Unit(StrEnum):
    """The unit in which a lot is bought and used."""

    KG = "kg"
    L = "l"
    M2 = "m2"
    M = "m"
    PIECE = "piece"


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument(Body):
    """The body of kind `instrument`; the uncertainty is expanded, k = 2, in its own unit."""

    instrument: Key
    name: Text
    measures: Text
    serial: Text | None = None
    calibrated_on: Annotated[date, fields.day] | None = None
    calibration_due: Annotated[date, fields.day] | None = None
    expanded_uncertainty: Uncertainty | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot(Body):
    """The body of kind `lot`: one batch of one product as it came to the job."""

    lot: Key
    material: Annotated[Material, fields.choice(Material)]
    product: Text
    batch_number: Text
    quantity: Quantity
    unit: Annotated[Unit, fields.choice(Unit)]
    use_by: Annotated[date, fields.day] | None = None
    density_g_per_ml: DensityGPerMl | None = None
    active_oxygen_pct: ActiveOxygenPct | None = None


_STAGE = fields.choice(Stage)


def _wet_stage(value: fields.Json) -> Stage:
    stage: Stage = _STAGE(value)
    if stage not in WET_STAGES:
        raise fields.Fault(f"is {stage}; a mix is made for bandage, laminate or topcoat")
    return stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix(Body):
    """The body of kind `mix`: one bucket, dosed and used."""

    mix: Key
    stage: Annotated[Stage, _wet_stage]
    area: Key
    lot: Key
    kg: MassKg
    catalyst_lot: Key
    catalyst_ml: CatalystMl
    deck_c: DeckC
    bays: BayKeys | None = None
    air_c: AirC | None = None
    stirred_before_s: Seconds | None = None
    stirred_after_s: Seconds | None = None
    emptied_at: Annotated[datetime, fields.moment] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Usage(Body):
    """The body of kind `usage`: what left a lot's container for an area, weighed or counted."""

    stage: Annotated[Stage, _STAGE]
    area: Key
    lot: Key
    used: QuantityOrNone
    unit: Annotated[Unit, fields.choice(Unit)]
    wasted: QuantityOrNone | None = None
    instrument: Key | None = None

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses more waste than was used."""
        if self.wasted is not None and self.wasted > self.used:
            yield ".wasted", "is more than was used; waste is the part of it that was not laid"

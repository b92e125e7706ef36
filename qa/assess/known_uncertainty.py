"""How well each quantity of a job is known: by its instruments or the specification's figures.

- A reading of conditions, a measurement and a usage name instruments: those alone count.
- A mix, an examination and an outline can name none: the widest of the registered instruments of
  the quantity counts, and for masses, volumes and outlines the specification's figure where there
  is none. Temperatures without an instrument have no known uncertainty.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from qa.assess.instruments import Instruments, Quantity, Stated
from qa.record.job import Job
from qa.specification.model import Figure, Specification

_SCALE, _MEASURE = "scale by the specification", "catalyst measure by the specification"


@dataclass(frozen=True, slots=True, kw_only=True)
class OfReading:
    """Expanded uncertainties (k = 2) of one reading of conditions, each None where unknown.

    Attributes:
        remark: which instruments gave none, and why; or nothing.
    """

    air_c: float | None = None
    humidity_pct: float | None = None
    deck_c: float | None = None
    moisture_pct: float | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfMix:
    """Expanded uncertainties (k = 2) of every mix of a job, as a mix names no instrument.

    Attributes:
        dose_remark, deck_remark: where the uncertainty of a dose and of a deck temperature comes
            from, a sentence, or nothing.
    """

    mass: Stated
    catalyst: Stated
    deck: Stated | None
    air: Stated | None
    dose_remark: str
    deck_remark: str


class KnownUncertainty:
    """The uncertainties of a job's quantities, ready to look up.

    Attributes:
        instruments: the registered instruments.
        of_mix: of the masses, volumes and temperatures of mixes.
        thickness_mm: of a gauged thickness, or None.
    """

    def __init__(self, job: Job, specification: Specification) -> None:
        self.instruments = instruments = Instruments(each.body for each in job.instruments)
        figures = specification.uncertainty
        self._mass = _stand_in(figures.mass_kg, _SCALE)
        self.of_mix = _of_mix(
            mass=instruments.widest(Quantity.MASS) or self._mass,
            catalyst=instruments.widest(Quantity.VOLUME)
            or _stand_in(figures.catalyst_ml, _MEASURE),
            deck=instruments.widest(Quantity.DECK_TEMPERATURE),
            air=instruments.widest(Quantity.AIR_TEMPERATURE),
        )
        self.thickness_mm = uncertainty_of(instruments.widest(Quantity.THICKNESS))
        self._readings: Mapping[tuple[str, ...], OfReading] = {
            keys: self._of_keys(keys)
            for keys in {reading.body.instruments for reading in job.conditions}
            if keys
        }

    def of_reading(self, instruments: tuple[str, ...] | None) -> OfReading:
        """Of a reading of conditions that names these instruments."""
        return self._readings.get(instruments, _NOTHING) if instruments else _NOTHING

    def mass(self, instrument: str | None) -> Stated | None:
        """Of a mass that was weighed out: by its instrument, else by the specification's figure.

        None where an instrument is named that states nothing of a mass.
        """
        if instrument is None:
            return self._mass
        return self.instruments.widest(Quantity.MASS, (instrument,))

    def _of_keys(self, keys: Iterable[str]) -> OfReading:
        widest = self.instruments.widest
        return OfReading(
            air_c=uncertainty_of(widest(Quantity.AIR_TEMPERATURE, keys)),
            humidity_pct=uncertainty_of(widest(Quantity.HUMIDITY, keys)),
            deck_c=uncertainty_of(widest(Quantity.DECK_TEMPERATURE, keys)),
            moisture_pct=uncertainty_of(widest(Quantity.MOISTURE, keys)),
            remark=self.instruments.gap_text(keys),
        )


_NOTHING = OfReading()


def _of_mix(*, mass: Stated, catalyst: Stated, deck: Stated | None, air: Stated | None) -> OfMix:
    """The uncertainties with their remarks, made once and not for every mix."""
    by_deck = f"Uncertainty from {deck.instrument}, as a mix names no instrument." if deck else ""
    return OfMix(
        mass=mass,
        catalyst=catalyst,
        deck=deck,
        air=air,
        dose_remark=f"Uncertainty from {catalyst.instrument} and {mass.instrument}.",
        deck_remark=by_deck,
    )


def _stand_in(figure: Figure, name: str) -> Stated:
    return Stated(uncertainty=figure.value, instrument=name)


def uncertainty_of(stated: Stated | None) -> float | None:
    """The figure alone, or None where nothing is stated."""
    return None if stated is None else stated.uncertainty

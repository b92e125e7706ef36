"""The air in force at a mix: from the last reading before it, as long as that reading holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from qa.assess.frame import grouped, when
from qa.assess.known_uncertainty import KnownUncertainty, uncertainty_of
from qa.record.job import Recorded
from qa.record.kinds.readings import Conditions
from qa.record.kinds.supplies import Mix


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Air and humidity in force at a mix, with the reading that they come from.

    The uncertainties are expanded, k = 2, or None where they are not known.
    """

    air_c: float | None
    humidity_pct: float | None
    air_uncertainty_k: float | None
    humidity_uncertainty_pct: float | None
    reading: Recorded[Conditions] | None


class LastReadings:
    """The last reading of air and humidity before a mix, as long as it still holds."""

    def __init__(
        self, readings: Sequence[Recorded[Conditions]], holds: timedelta, known: KnownUncertainty
    ) -> None:
        complete = [r for r in readings if None not in (r.body.air_c, r.body.humidity_pct)]
        self._by_area = grouped(complete, lambda reading: reading.body.area)
        self._holds = holds
        self._known = known

    def at(self, mix: Recorded[Mix]) -> Air:
        """The air in force at a mix: its own temperature, and the rest from the last reading."""
        found = [
            reading
            for area in (mix.body.area, None)
            if (reading := last_before(self._by_area.get(area, ()), mix.at)) is not None
        ]
        reading = max(found, key=when, default=None)
        air_c, of_air_k = mix.body.air_c, uncertainty_of(self._known.of_mix.air)
        of_humidity = humidity_pct = None
        if reading is not None and mix.at - reading.at > self._holds:
            reading = None
        if reading is not None:
            known = self._known.of_reading(reading.body.instruments)
            humidity_pct, of_humidity = reading.body.humidity_pct, known.humidity_pct
            if air_c is None:
                air_c, of_air_k = reading.body.air_c, known.air_c
        return Air(
            air_c=air_c,
            humidity_pct=humidity_pct,
            air_uncertainty_k=of_air_k,
            humidity_uncertainty_pct=of_humidity,
            reading=reading,
        )


def last_before(
    readings: Sequence[Recorded[Conditions]], moment: datetime
) -> Recorded[Conditions] | None:
    """The last of readings sorted by time that is not after `moment`, by bisection."""
    low, high = 0, len(readings)
    while low < high:
        middle = (low + high) // 2
        if readings[middle].at <= moment:
            low = middle + 1
        else:
            high = middle
    return readings[low - 1] if low else None

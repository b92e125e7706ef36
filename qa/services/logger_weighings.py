"""What a scale read about the mixes and uses of a job, matched to them by time.

A record holds a mass as the kilograms of a mix, and as what was used of a lot that is bought by
weight. It has no place for the weight of a tin or of an empty bucket: such readings are counted and
left out.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from qa.assess.frame import Frame, when
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix, Unit, Usage
from qa.services.logger_csv import LoggerReading

_DIGITS = 3
"""A kilogram is told to the gram; no scale on a roof knows more."""


@dataclass(slots=True, kw_only=True)
class Weighed:
    """A mix or a use, and the weighing that is nearest to it in time.

    Attributes:
        name: what people call it.
        held_kg: what the record says.
        known_kg: how well that is known, k = 2.
        reading: None where nothing was weighed about then.
    """

    entry: Recorded[Mix] | Recorded[Usage]
    name: str
    held_kg: float
    known_kg: float
    reading: LoggerReading | None = None

    @property
    def mass_kg(self) -> float | None:
        """What the scale read."""
        mass = self.reading.mass_kg if self.reading else None
        return None if mass is None else round(mass, _DIGITS)

    @property
    def differs(self) -> bool:
        """Whether the scale says another mass than the record, by more than is known of it."""
        return self.mass_kg is not None and abs(self.mass_kg - self.held_kg) > self.known_kg


@dataclass(slots=True, kw_only=True)
class Weighings:
    """Takes the masses of a file, in memory that does not grow with it.

    Attributes:
        of: what may have been weighed, in order of time.
        within: how near a weighing must be.
        masses: how many readings of a mass above nothing there are.
        matched: how many of them are near to something.
    """

    of: Sequence[Weighed] = ()
    within: timedelta = timedelta(0)
    masses: int = 0
    matched: int = 0
    _times: list[datetime] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Makes the times to look up."""
        self._times = [one.entry.at for one in self.of]

    def take(self, reading: LoggerReading) -> None:
        """Keeps a weighing for whatever it is nearest to; an empty scale weighs nothing."""
        if reading.mass_kg is None or reading.mass_kg <= 0.0:
            return
        self.masses += 1
        place = bisect_left(self._times, reading.at)
        near = [one for one in self.of[max(0, place - 1) : place + 1]
                if abs(one.entry.at - reading.at) <= self.within]  # fmt: skip
        if not near:
            return
        self.matched += 1
        weighed = min(near, key=lambda one: abs(one.entry.at - reading.at))
        held = weighed.reading
        if held is None or _apart(weighed, reading) < _apart(weighed, held):
            weighed.reading = reading

    @property
    def found(self) -> tuple[Weighed, ...]:
        """What was weighed, in order of time."""
        return tuple(one for one in self.of if one.reading is not None)


def _apart(weighed: Weighed, reading: LoggerReading) -> timedelta:
    return abs(weighed.entry.at - reading.at)


def weighings_of(frame: Frame, *, within: timedelta) -> Weighings:
    """Everything of a job that a scale may have weighed.

    Args:
        frame: of the job.
        within: how near in time a weighing must be.
    """
    job, known = frame.job, frame.known
    found = [
        Weighed(
            entry=mix, name=mix.body.mix, held_kg=mix.body.kg,
            known_kg=known.of_mix.mass.uncertainty,
        )
        for mix in job.mixes
    ]  # fmt: skip
    for usage in job.usages:
        stated = known.mass(usage.body.instrument)
        if usage.body.unit is Unit.KG:
            found.append(
                Weighed(
                    entry=usage, name=f"use of {usage.body.lot}", held_kg=usage.body.used,
                    known_kg=stated.uncertainty if stated else 0.0,
                )
            )  # fmt: skip
    return Weighings(of=sorted(found, key=lambda one: when(one.entry)), within=within)

"""What the instruments of a record measure, read from the words that register them.

An instrument says in words what it measures, and one expanded uncertainty (k = 2) "in the unit it
measures in". The tables below turn the words into quantities and units. An instrument of several
quantities states its one figure for each, in that quantity's own unit. Words that name nothing
known give no uncertainty; that is a gap in the record and never taken for exactness.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from qa.record.kinds.supplies import Instrument


class Quantity(StrEnum):
    """What an instrument can measure; the value is its name in a sentence."""

    AIR_TEMPERATURE = "air temperature"
    DECK_TEMPERATURE = "deck temperature"
    HUMIDITY = "relative humidity"
    MOISTURE = "moisture content"
    MASS = "mass"
    VOLUME = "volume"
    LENGTH = "length"
    THICKNESS = "thickness"
    FALL = "fall"
    HARDNESS = "hardness"
    TIME = "time"


_WORDS: Mapping[Quantity, frozenset[str]] = {
    Quantity.HUMIDITY: frozenset({"humidity", "rh"}),
    Quantity.MOISTURE: frozenset({"moisture"}),
    Quantity.MASS: frozenset({"mass", "masses", "weight", "weights", "kg"}),
    Quantity.VOLUME: frozenset({"volume", "volumes", "ml", "millilitres", "litres"}),
    Quantity.LENGTH: frozenset(
        {"length", "lengths", "distance", "distances", "spacing", "width", "widths", "height"}
    ),
    Quantity.THICKNESS: frozenset({"thickness", "thicknesses"}),
    Quantity.FALL: frozenset({"fall", "falls", "slope", "slopes", "gradient"}),
    Quantity.HARDNESS: frozenset({"hardness", "barcol"}),
    Quantity.TIME: frozenset({"time", "times", "duration"}),
}
"""Any of these words names the quantity."""

_TEMPERATURE = frozenset({"temperature", "temperatures"})
_OF_AIR = frozenset({"air", "ambient", "weather", "outdoor"})
_OF_DECK = frozenset({"deck", "surface", "surfaces", "board", "boards", "roof", "contact"})
"""A temperature is of the air, of the deck, or of both where neither is named."""

_DEW_POINT = re.compile(r"(dew[ -]?point|wet[ -]?bulb)( temperatures?)?")
"""What a meter shows besides: reckoned, not measured."""

_UNITS: Mapping[Quantity, Mapping[str, float]] = {
    Quantity.AIR_TEMPERATURE: {"°c": 1.0, "k": 1.0, "°f": 5.0 / 9.0},
    Quantity.DECK_TEMPERATURE: {"°c": 1.0, "k": 1.0, "°f": 5.0 / 9.0},
    Quantity.HUMIDITY: {"%": 1.0},
    Quantity.MOISTURE: {"%": 1.0},
    Quantity.MASS: {"kg": 1.0, "g": 1e-3},
    Quantity.VOLUME: {"ml": 1.0, "l": 1e3, "litres": 1e3},
    Quantity.LENGTH: {"mm": 1.0, "cm": 10.0, "m": 1e3},
    Quantity.THICKNESS: {"mm": 1.0, "\u03bcm": 1e-3, "um": 1e-3},
    Quantity.FALL: {"mm/m": 1.0, "%": 10.0},
    Quantity.HARDNESS: {"barcol": 1.0},
    Quantity.TIME: {"h": 1.0, "min": 1.0 / 60.0, "s": 1.0 / 3600.0},
}
"""Units that the words may name, in units of the first, which holds where none is named."""

_TOKEN = re.compile(r"mm/m|°[cf]|[a-z\u03bc]+|%")

_IN_UNIT_OF_LIMIT: Mapping[str, tuple[tuple[Quantity, float], ...]] = {
    "mm": ((Quantity.LENGTH, 1.0), (Quantity.THICKNESS, 1.0)),
    "m": ((Quantity.LENGTH, 1e-3),),
    "mm/m": ((Quantity.FALL, 1.0),),
    "%": ((Quantity.MOISTURE, 1.0), (Quantity.HUMIDITY, 1.0)),
    "°C": ((Quantity.DECK_TEMPERATURE, 1.0), (Quantity.AIR_TEMPERATURE, 1.0)),
    "Barcol": ((Quantity.HARDNESS, 1.0),),
    "h": ((Quantity.TIME, 1.0),),
    "min": ((Quantity.TIME, 60.0),),
    "s": ((Quantity.TIME, 3600.0),),
    "kg": ((Quantity.MASS, 1.0),),
    "ml": ((Quantity.VOLUME, 1.0),),
    "l": ((Quantity.VOLUME, 1e-3),),
}
"""The quantities that a value in a unit can be of, and what turns theirs into that unit."""


def quantities_measured(measures: str) -> Mapping[Quantity, float]:
    """The quantities that words name, each with the size of the named unit in its own.

    Args:
        measures: what an instrument measures, as it was registered.

    Returns:
        For each quantity the factor that turns a figure in the named unit into °C, %, kg, ml, mm,
        mm/m, Barcol or h; empty where the words name nothing known.

    >>> dict(quantities_measured("length, m")) == {Quantity.LENGTH: 1000.0}
    True
    >>> [str(each) for each in quantities_measured("Relative humidity, %, air temperature, °C")]
    ['relative humidity', 'air temperature']
    """
    tokens = _TOKEN.findall(_DEW_POINT.sub(" ", measures.casefold().replace("mm per m", "mm/m")))
    words = frozenset(tokens)
    named = [quantity for quantity, names in _WORDS.items() if words & names]
    if words & _TEMPERATURE:
        of_air, of_deck = bool(words & _OF_AIR), bool(words & _OF_DECK)
        named += [Quantity.AIR_TEMPERATURE] if of_air or not of_deck else []
        named += [Quantity.DECK_TEMPERATURE] if of_deck or not of_air else []
    return {
        quantity: next((units[token] for token in tokens if token in units), 1.0)
        for quantity in named
        for units in (_UNITS[quantity],)
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """An expanded uncertainty with the instrument that states it.

    Attributes:
        uncertainty: k = 2, in °C, %, kg, ml, mm, mm/m, Barcol or h.
        instrument: the instrument's key.
    """

    uncertainty: float
    instrument: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """An instrument as the tables read it."""

    body: Instrument
    factors: Mapping[Quantity, float]

    def stated(self, quantity: Quantity) -> Stated | None:
        """What it states of a quantity that it measures; None where it states no uncertainty."""
        known = self.body.expanded_uncertainty
        if known is None:
            return None
        factor = self.factors[quantity]
        return Stated(uncertainty=known * factor, instrument=self.body.instrument)


class Instruments:
    """The registered instruments, to look up how well they measure."""

    def __init__(self, registered: Iterable[Instrument]) -> None:
        self._by_key = {
            body.instrument: _Known(body=body, factors=quantities_measured(body.measures))
            for body in registered
        }

    def widest(self, quantity: Quantity, among: Iterable[str] | None = None) -> Stated | None:
        """The widest uncertainty that instruments of a quantity state.

        Args:
            quantity: what is measured.
            among: keys of the instruments that were at hand; None: all that are registered.

        Returns:
            None where none of them measures the quantity, or one that does states no uncertainty:
            the value may come from that one.
        """
        keys = self._by_key if among is None else among
        found = [
            known.stated(quantity)
            for known in map(self._by_key.get, keys)
            if known is not None and quantity in known.factors
        ]
        if not found or None in found:
            return None
        return max((each for each in found if each), key=lambda each: each.uncertainty)

    def in_unit(self, key: str, unit: str) -> float | None:
        """The expanded uncertainty of an instrument's values in the unit of a limit, or None.

        Args:
            key: the instrument's key.
            unit: the unit of the value, such as "mm".
        """
        known = self._by_key.get(key)
        for quantity, factor in _IN_UNIT_OF_LIMIT.get(unit, ()):
            if known is not None and quantity in known.factors:
                stated = known.stated(quantity)
                return None if stated is None else stated.uncertainty * factor
        return None

    def gap_text(self, keys: Iterable[str]) -> str:
        """A sentence for each of some instruments whose words name nothing known; or nothing."""
        strangers = [
            known.body
            for known in map(self._by_key.get, keys)
            if known is not None and not known.factors
        ]
        return " ".join(
            f"Instrument {body.instrument} measures “{body.measures}”, which names no known "
            "quantity, so it gives no uncertainty."
            for body in strangers
        )

    def unit_gap_text(self, key: str, unit: str) -> str:
        """Why an instrument that was named gives a value no uncertainty; or nothing."""
        known = self._by_key.get(key)
        if known is None or not known.factors:
            return self.gap_text((key,))
        if any(quantity in known.factors for quantity, _ in _IN_UNIT_OF_LIMIT.get(unit, ())):
            return ""
        names = " and ".join(known.factors)
        return f"Instrument {key} measures {names}; that gives no uncertainty of a value in {unit}."

"""Dew point of the air, and how far the deck stays above it.

Magnus form over water, WMO-No. 8, Annex 4.B. Below 0 °C the answer is the dew point over
supercooled water, not the frost point: the two differ by more than 1 K at 0 °C and 30 %.
"""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from math import log

from qa.errors import DomainError
from qa.trade.domain import require_finite

MAGNUS_SLOPE = 17.62
"""WMO-No. 8, Annex 4.B: slope of the Magnus form over water, without unit."""

MAGNUS_OFFSET_C = 243.12
"""WMO-No. 8, Annex 4.B: offset of the Magnus form over water, °C."""

_SLOPE_TIMES_OFFSET = MAGNUS_SLOPE * MAGNUS_OFFSET_C


def dew_point_c(*, air_c: float, humidity_pct: float) -> float:
    """Return the temperature at which the air's moisture begins to condense.

    With e = 6.112 exp(17.62 t / (243.12 + t)) RH / 100 the source solves for the temperature
    at which e saturates: td = 243.12 ln(e / 6.112) / (17.62 - ln(e / 6.112)). Written as the
    depression below the air temperature, the same equation reads, with L = ln(RH / 100) and
    s = 243.12 + t: td = t + L s^2 / (17.62 * 243.12 - L s). So saturated air gives the air
    temperature itself, to the last digit, and no dew point can exceed it.

    Args:
        air_c: air temperature, °C, -20 to 50.
        humidity_pct: relative humidity over water, %, 1 to 100.

    Returns:
        The dew point, °C.

    Raises:
        DomainError: either figure lies outside its range.

    Source: WMO-No. 8, Annex 4.B (Magnus form over water, pressure factor left out).

    >>> round(dew_point_c(air_c=20.0, humidity_pct=65.0), 3)
    13.217
    >>> dew_point_c(air_c=12.3, humidity_pct=100.0)
    12.3
    """
    if not -20.0 <= air_c <= 50.0:
        raise DomainError("air temperature, °C", air_c, "-20 to 50")
    if not 1.0 <= humidity_pct <= 100.0:
        raise DomainError("relative humidity, %", humidity_pct, "1 to 100")
    shortfall = log(humidity_pct / 100.0)
    span_c = MAGNUS_OFFSET_C + air_c
    return air_c + shortfall * span_c * span_c / (_SLOPE_TIMES_OFFSET - shortfall * span_c)


def dew_points_c(air_c: Sequence[float], humidity_pct: Sequence[float]) -> array[float]:
    """Return the dew points of many readings, each to the last digit as `dew_point_c`.

    Args:
        air_c: air temperatures, °C, each -20 to 50.
        humidity_pct: relative humidities of the same readings, %, each 1 to 100.

    Returns:
        The dew points, °C, in double precision and in the order of the readings.

    Raises:
        DomainError: a figure lies outside its range, or there are not as many of both.

    Source: as `dew_point_c`.

    >>> dew_points_c((20.0, 12.3), (65.0, 100.0))[1]
    12.3
    """
    if len(air_c) != len(humidity_pct):
        as_many = f"{len(air_c)}, as many as air temperatures"
        raise DomainError("number of humidities", len(humidity_pct), as_many)
    ln, offset_c, slope_times_offset = log, MAGNUS_OFFSET_C, _SLOPE_TIMES_OFFSET
    # The operations of `dew_point_c` in their order: in another, the last digit could differ.
    dew_c = [
        air
        + (shortfall := ln(humidity / 100.0))
        * (span_c := offset_c + air)
        * span_c
        / (slope_times_offset - shortfall * span_c)
        for air, humidity in zip(air_c, humidity_pct, strict=True)
        if -20.0 <= air <= 50.0 and 1.0 <= humidity <= 100.0
    ]
    if len(dew_c) < len(air_c):
        for air, humidity in zip(air_c, humidity_pct, strict=True):
            dew_point_c(air_c=air, humidity_pct=humidity)
    return array("d", dew_c)


def dew_margin_k(*, deck_c: float, air_c: float, humidity_pct: float) -> float:
    """Return how far the deck's surface is above the dew point.

    margin = deck temperature - dew point. A negative margin means that the deck is sweating.

    Args:
        deck_c: temperature of the deck's surface, °C, finite.
        air_c: air temperature, °C, -20 to 50.
        humidity_pct: relative humidity, %, 1 to 100.

    Returns:
        The margin, K.

    Raises:
        DomainError: a figure lies outside its range.

    Source: the quantity judged in ISO 8502-4 (written for steel, adopted here for a deck).

    >>> round(dew_margin_k(deck_c=9.0, air_c=12.0, humidity_pct=70.0), 2)
    2.31
    """
    require_finite("deck temperature, °C", deck_c)
    return deck_c - dew_point_c(air_c=air_c, humidity_pct=humidity_pct)

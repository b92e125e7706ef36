"""How well a dew margin is known, from thermometers and hygrometer.

The form of `qa.trade.dew_point` is differentiated by hand; its own error against measured vapour
pressures is left out, as it is far below that of any instrument on a roof.
"""

from __future__ import annotations

from math import log, sqrt

from qa.errors import DomainError
from qa.trade.dew_point import MAGNUS_OFFSET_C, MAGNUS_SLOPE
from qa.trade.domain import require_not_negative

_SLOPE_TIMES_OFFSET = MAGNUS_SLOPE * MAGNUS_OFFSET_C


def dew_point_slopes(*, air_c: float, humidity_pct: float) -> tuple[float, float]:
    """Return how the dew point goes with the air's temperature and with its humidity.

    With a = 17.62, b = 243.12 °C, L = ln(RH / 100), s = b + t and D = a b - L s:
    d td / d t = (a b / D)^2, and d td / d RH = a b s^2 / (D^2 RH).

    Args:
        air_c: air temperature, °C, -20 to 50.
        humidity_pct: relative humidity over water, %, 1 to 100.

    Returns:
        K per K of air temperature, and K per % of relative humidity.

    Raises:
        DomainError: either figure lies outside its range.

    Source: derivatives of WMO-No. 8, Annex 4.B.

    >>> to_air, to_humidity = dew_point_slopes(air_c=20.0, humidity_pct=65.0)
    >>> round(to_air, 4), round(to_humidity, 4)
    (0.9491, 0.236)
    """
    if not -20.0 <= air_c <= 50.0:
        raise DomainError("air temperature, °C", air_c, "-20 to 50")
    if not 1.0 <= humidity_pct <= 100.0:
        raise DomainError("relative humidity, %", humidity_pct, "1 to 100")
    span_c = MAGNUS_OFFSET_C + air_c
    rest = _SLOPE_TIMES_OFFSET - log(humidity_pct / 100.0) * span_c
    to_air = _SLOPE_TIMES_OFFSET / rest
    stretch = span_c / rest
    return to_air * to_air, _SLOPE_TIMES_OFFSET * stretch * stretch / humidity_pct


def dew_margin_uncertainty_k(
    *,
    air_c: float,
    humidity_pct: float,
    deck_uncertainty_k: float,
    air_uncertainty_k: float,
    humidity_uncertainty_pct: float,
) -> float:
    """Return the uncertainty of a dew margin, expanded if those of the readings are.

    U^2 = U(deck)^2 + (d td / d t * U(air))^2 + (d td / d RH * U(RH))^2.

    The readings count as independent even where one thermometer took both temperatures: what its
    readings share would make the margin better known, and nobody recorded how much that is.

    Args:
        air_c: air temperature, °C, -20 to 50.
        humidity_pct: relative humidity, %, 1 to 100.
        deck_uncertainty_k: of the deck's temperature, K, nought or more.
        air_uncertainty_k: of the air's temperature, K, nought or more.
        humidity_uncertainty_pct: of the relative humidity, in % of relative humidity.

    Raises:
        DomainError: a figure lies outside its range.

    Source: JCGM 100:2008, 5.1.2 (clause number from memory).

    >>> round(
    ...     dew_margin_uncertainty_k(
    ...         air_c=14.5,
    ...         humidity_pct=62.0,
    ...         deck_uncertainty_k=0.5,
    ...         air_uncertainty_k=0.5,
    ...         humidity_uncertainty_pct=3.0,
    ...     ),
    ...     2,
    ... )
    0.99
    """
    require_not_negative("uncertainty of the deck, K", deck_uncertainty_k)
    require_not_negative("uncertainty of the air, K", air_uncertainty_k)
    require_not_negative("uncertainty of the humidity, %", humidity_uncertainty_pct)
    to_air, to_humidity = dew_point_slopes(air_c=air_c, humidity_pct=humidity_pct)
    by_air = to_air * air_uncertainty_k
    by_humidity = to_humidity * humidity_uncertainty_pct
    return sqrt(
        deck_uncertainty_k * deck_uncertainty_k + by_air * by_air + by_humidity * by_humidity
    )

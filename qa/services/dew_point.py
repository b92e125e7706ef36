"""The dew point of the air on a site, and whether the deck is far enough above it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from qa.specification.model import Check, Specification
from qa.trade.conformity import Verdict, judge
from qa.trade.dew_point import dew_margin_k, dew_point_c
from qa.trade.notation import number_text, quantity_text

DEW_MARGIN = "conditions.dew_margin"


@dataclass(frozen=True, slots=True, kw_only=True)
class DewAdvice:
    """The dew point and the deck's margin above it.

    Attributes:
        air_c: air temperature, °C.
        humidity_pct: relative humidity, %.
        deck_c: deck temperature, °C, or None.
        dew_point_c: the dew point, °C.
        margin_k: deck above dew point, K, or None where the deck was not measured.
        verdict: of the margin, by the specification's check.
        check: that check, with its limit, basis and source.
    """

    air_c: float
    humidity_pct: float
    deck_c: float | None
    dew_point_c: float
    margin_k: float | None
    verdict: Verdict
    check: Check


def advise_dew_point(
    specification: Specification, *, air_c: float, humidity_pct: float, deck_c: float | None = None
) -> DewAdvice:
    """The dew point, and the verdict on a deck.

    Args:
        specification: the limit of the margin.
        air_c: air temperature, °C, -20 to 50.
        humidity_pct: relative humidity, %, 1 to 100.
        deck_c: temperature of the deck's surface, °C, or None.

    Raises:
        DomainError: a figure lies outside its range.
    """
    margin_k = None
    if deck_c is not None:
        margin_k = dew_margin_k(deck_c=deck_c, air_c=air_c, humidity_pct=humidity_pct)
    check = specification.checks[DEW_MARGIN]
    return DewAdvice(
        air_c=air_c,
        humidity_pct=humidity_pct,
        deck_c=deck_c,
        dew_point_c=dew_point_c(air_c=air_c, humidity_pct=humidity_pct),
        margin_k=margin_k,
        verdict=judge(
            margin_k, limits=check.limits, expanded_uncertainty=None, rule=specification.rule
        ),
        check=check,
    )


def dew_point_text(advice: DewAdvice) -> str:
    """The dew point in words."""
    return "\n".join(_lines(advice)) + "\n"


def _lines(advice: DewAdvice) -> Iterator[str]:
    air = f"{quantity_text(advice.air_c, '°C')} and {number_text(advice.humidity_pct)} %"
    yield f"Air        {air}"
    yield f"Dew point  {quantity_text(round(advice.dew_point_c, 1), '°C')}, over water"
    if advice.margin_k is None or advice.deck_c is None:
        return
    margin = quantity_text(round(advice.margin_k, 2), "K")
    yield f"Deck       {quantity_text(advice.deck_c, '°C')}: {margin} above the dew point"
    least = quantity_text(advice.check.limits.lower or 0.0, "K")
    verdict = advice.verdict.value.replace("_", " ")
    yield f"Verdict    {verdict}; at least {least} ({advice.check.basis.value})"
    yield f"Basis      {advice.check.source}"


def dew_point_json(advice: DewAdvice) -> str:
    """The dew point as JSON."""
    answer = {
        "air_c": advice.air_c,
        "humidity_pct": advice.humidity_pct,
        "deck_c": advice.deck_c,
        "dew_point_c": advice.dew_point_c,
        "margin_k": advice.margin_k,
        "lower_k": advice.check.limits.lower,
        "verdict": advice.verdict.value,
        "basis": advice.check.basis.value,
        "source": advice.check.source,
    }
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"

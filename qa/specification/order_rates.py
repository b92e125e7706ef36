"""From a specification to the rates of a take-off, and from a rate back to its source."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from qa.specification.model import Check, Figures, Specification
from qa.specification.plan_figures import Planning
from qa.specification.sourced import Sizes, Sourced
from qa.trade.ordering import Battens, OrderRates
from qa.trade.vocabulary import EdgeKind

_FROM_CHECKS: Mapping[str, str] = {
    "board_mm": "deck.board_thickness",
    "shortest_piece_mm": "deck.offcut_length",
    "fixing_centres_mm": "deck.fixing_centres",
    "fixings_across_board": "deck.fixings_across_board",
    "fixing_penetration_mm": "deck.fixing_penetration",
    "trim_overlap_mm": "trims.overlap",
    "trim_fixing_centres_mm": "trims.fixing_centres",
    "corner_strip_mm": "bandage.corner_strip",
}
"""Rates that are limits of checks: what is asked for is what is ordered."""


def order_rates(specification: Specification) -> OrderRates:
    """Return the rates by which a take-off reckons.

    Args:
        specification: its figures for planning and for judging, its charts, and the limits of
            the checks that say how the work is done.
    """
    rates: dict[str, Any] = {
        name: _limit(specification.checks[key]) for name, key in _FROM_CHECKS.items()
    }
    for field in dataclasses.fields(OrderRates):
        if (sourced := _figure(specification, field.name)) is not None:
            rates[field.name] = sourced.values if isinstance(sourced, Sizes) else sourced.value
    return OrderRates(
        **rates,
        battens=tuple(
            Battens(kind=kind, count=round(specification.battens[kind].value))
            for kind in EdgeKind
            if kind in specification.battens
        ),
        resin_dose=specification.resin_dose.chart,
        topcoat_dose=specification.topcoat_dose.chart,
    )


def sources_of(specification: Specification, name: str) -> tuple[Sourced, ...]:
    """Return what a name that an order line rests on stands for.

    Args:
        specification: the specification.
        name: the name of a figure, a check or a chart, or "battens", which are several figures.

    Raises:
        KeyError: the specification has nothing of that name.
    """
    if name in specification.checks:
        return (specification.checks[name],)
    if name == "battens":
        return tuple(specification.battens.values())
    if name in ("resin_dose", "topcoat_dose"):
        chart: Sourced = getattr(specification, name)
        return (chart,)
    if (figure := _figure(specification, name)) is not None:
        return (figure,)
    raise KeyError(name)


def _figure(specification: Specification, name: str) -> Any:
    """Return a figure or the sizes of that name, or None."""
    for kind, holder in ((Figures, specification.figures), (Planning, specification.planning)):
        if name in {field.name for field in dataclasses.fields(kind)}:
            return getattr(holder, name)
    return None


def _limit(check: Check) -> float:
    """The one limit of a check that asks for at least or at most so much."""
    limits = check.limits
    limit = limits.lower if limits.lower is not None else limits.upper
    return 0.0 if limit is None else limit

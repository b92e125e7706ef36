"""The take-off before the work: from outlines and rates to what must be ordered.

The numbers that an order rests on are those that the consumption is judged against later.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum

from qa.errors import DomainError
from qa.trade.notation import number_text, quantity_text
from qa.trade.order_dry import dry_lines
from qa.trade.order_wet import wet_lines
from qa.trade.ordering import AreaToLay, OrderRates, TakeOff

MEASURED_ALIKE_M = 0.1
"""Difference round a roof that is measurement and no missing edge, m. Project choice."""


def take_off(areas: Sequence[AreaToLay], rates: OrderRates, *, deck_c: float) -> TakeOff:
    """Return what to order for a roof.

    Every line is a need with its overlaps, ends and offcuts, the waste that the rates add to it,
    and whole containers that hold both. Lines of which nothing is needed are left out.

    Args:
        areas: the areas, 1 or more.
        rates: the rates.
        deck_c: deck temperature that the catalyst is reckoned for, °C, inside both dose charts.

    Raises:
        DomainError: there is no area, the temperature lies outside a chart, or a rate lies
            outside its range.

    Source: the functions of this package that each line names; the rates are the
    specification's.
    """
    if not areas:
        raise DomainError("number of areas", 0, "1 or more")
    return TakeOff(
        deck_c=deck_c,
        laid_m2=fsum(area.laid_m2 for area in areas),
        areas=len(areas),
        lines=(*dry_lines(areas, rates), *wet_lines(areas, rates, deck_c=deck_c)),
        remarks=tuple(remark for area in areas for remark in _remarks(area, rates)),
    )


def _remarks(area: AreaToLay, rates: OrderRates) -> Iterator[str]:
    """Yield what the order of an area takes for granted or leaves out."""
    if area.joist_centres_m is None:
        centres_mm = number_text(rates.joist_centres_m * 1000.0)
        yield f"{area.name}: the joists were not measured; {centres_mm} mm are taken."
    round_m = area.roof.perimeter_m + area.roof.opening_edge_m
    edged_m = fsum(edge.length_m for edge in area.edges)
    if edged_m < round_m - MEASURED_ALIKE_M:
        yield (
            f"{area.name}: edges of {quantity_text(round(edged_m, 2), 'm')} are given, and outline "
            f"and openings have {quantity_text(round(round_m, 2), 'm')}; no trims are ordered for "
            f"the other {quantity_text(round(round_m - edged_m, 2), 'm')}."
        )

"""The take-off before the work: from outlines and rates to what must be ordered.

The numbers that an order rests on are those that the consumption is judged against later.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum

from qa.errors import DomainError
from qa.trade.order_dry import dry_lines
from qa.trade.order_wet import wet_lines
from qa.trade.ordering import AreaToLay, OrderRates, TakeOff


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
    )

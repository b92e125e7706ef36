"""What an area comes to before the work: bays, area, perimeter, and what will be laid."""

from __future__ import annotations

from dataclasses import dataclass

from qa.errors import NotFoundError
from qa.record.kinds.place import Area
from qa.services.reading import ReadJob
from qa.services.taking_off import areas_to_lay
from qa.specification.order_rates import order_rates
from qa.trade.bays import Bay
from qa.trade.ordering import Item
from qa.trade.takeoff import take_off

DECK_C = 15.0
"""Deck temperature that the order is reckoned for where nobody has measured one; it moves only the
catalyst, which is not told here. Project choice, °C."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """An area with its bays, and what it will take.

    Attributes:
        bays: the bays of its strip layout, in order.
        net_m2: area on the slope, openings taken off, m².
        laid_m2: the same with the upstands, m².
        perimeter_m: of the outline, m.
        resin_kg: laminating resin that the work takes, no waste reckoned, kg.
        topcoat_kg: topcoat that the work takes, no waste reckoned, kg.
        mat_m: mat off the roll, with its overlaps, m.
    """

    area: Area
    bays: tuple[Bay, ...]
    net_m2: float
    laid_m2: float
    perimeter_m: float
    resin_kg: float
    topcoat_kg: float
    mat_m: float


def lay_out(read: ReadJob, key: str) -> LaidOut:
    """An area of a job as it will be laid.

    Raises:
        NotFoundError: the job has no such area.
    """
    frame = read.frame
    laid = frame.areas.get(key)
    if laid is None:
        raise NotFoundError("This job has no such area. Look at the job’s page.")
    place = list(frame.areas).index(key)
    order = take_off(
        areas_to_lay(read.job)[place : place + 1], order_rates(read.specification), deck_c=DECK_C
    )
    needs = {item: sum(x.need for x in order.lines if x.item is item) for item in Item}
    return LaidOut(
        area=laid.body,
        bays=tuple(laid.bays.values()),
        net_m2=laid.roof.net_area_m2,
        laid_m2=laid.laid_m2,
        perimeter_m=laid.roof.perimeter_m,
        resin_kg=needs[Item.RESIN],
        topcoat_kg=needs[Item.TOPCOAT],
        mat_m=needs[Item.MAT],
    )

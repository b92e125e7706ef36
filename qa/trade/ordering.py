"""What an order is made of: the areas to lay, the rates to reckon by, and the lines that come out.

Values only. Rates are arguments of the arithmetic and carry the names of the figures that a
specification gives them, so that every line can be traced to its sources by name.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from math import fsum

from qa.trade.catalyst import DoseChart
from qa.trade.containers import Container, containers_for, litres
from qa.trade.domain import require_not_negative, require_positive
from qa.trade.edges import EdgeLength, Turnup, upstand_area_m2
from qa.trade.outline import RoofArea
from qa.trade.strips import strip_angle_deg
from qa.trade.vocabulary import EdgeKind


class Item(StrEnum):
    """What can be ordered, in the order of the work."""

    BOARD = "board"
    DECK_FIXING = "deck_fixing"
    BATTEN = "batten"
    TRIM = "trim"
    TRIM_FIXING = "trim_fixing"
    ADHESIVE = "adhesive"
    BANDAGE = "bandage"
    MAT = "mat"
    RESIN = "resin"
    TOPCOAT = "topcoat"
    CATALYST = "catalyst"


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaToLay:
    """One roof area before the work.

    Attributes:
        name: how people call it.
        roof: outline, openings and slope.
        edges: its edges, each straight edge on its own.
        upstands: where the laminate turns up.
        mat_g_per_m2: mass of the mat, g/m², above nought.
        layers: layers of mat, 1 or more.
        joist_centres_m: from joist to joist, m; None where nobody has measured them.
    """

    name: str
    roof: RoofArea
    edges: tuple[EdgeLength, ...]
    mat_g_per_m2: float
    upstands: tuple[Turnup, ...] = ()
    layers: int = 1
    joist_centres_m: float | None = None

    @property
    def laid_m2(self) -> float:
        """Net area on the slope, with the upstands, m²: what consumption is judged on."""
        return self.roof.net_area_m2 + upstand_area_m2(self.upstands)

    @property
    def angle_deg(self) -> float:
        """Angle of strips and boards, degrees: along the longest edge."""
        return strip_angle_deg(self.roof.outline)


@dataclass(frozen=True, slots=True, kw_only=True)
class Battens:
    """Battens behind an edge of one kind."""

    kind: EdgeKind
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRates:
    """Every rate that an order is reckoned by; units stand in the names.

    `…_waste_pct` is ordered beyond the need; the tuples of containers hold what one contains.
    """

    resin_to_glass: float
    deck_uptake_kg_per_m2: float
    topcoat_kg_per_m2: float
    liquid_resin_g_per_ml: float
    liquid_topcoat_g_per_ml: float
    bandage_width_mm: float
    bandage_g_per_m2: float
    corner_strip_mm: float
    mat_width_m: float
    mat_overlap_m: float
    board_mm: float
    board_length_m: float
    board_width_m: float
    shortest_piece_mm: float
    joist_centres_m: float
    fixing_centres_mm: float
    fixings_across_board: float
    fixing_least_mm: float
    fixing_thicknesses: float
    fixing_penetration_mm: float
    trim_length_m: float
    trim_overlap_mm: float
    trim_fixing_centres_mm: float
    battens: tuple[Battens, ...]
    adhesive_ml_per_overlap: float
    resin_waste_pct: float
    catalyst_waste_pct: float
    mat_waste_pct: float
    bandage_waste_pct: float
    topcoat_waste_pct: float
    board_waste_pct: float
    batten_waste_pct: float
    fixing_waste_pct: float
    adhesive_waste_pct: float
    resin_tins_kg: tuple[float, ...]
    catalyst_bottles_ml: tuple[float, ...]
    mat_rolls_m: tuple[float, ...]
    bandage_rolls_m: tuple[float, ...]
    topcoat_tins_kg: tuple[float, ...]
    fixing_boxes: tuple[float, ...]
    adhesive_cartridges_ml: tuple[float, ...]
    resin_dose: DoseChart
    topcoat_dose: DoseChart


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """One part of a need, with the words that say how it was reckoned.

    Attributes:
        part: what it is for: "laminate"; empty where the line says it.
        area: the name of the area that it is for, or empty where it is for all.
        quantity: how much, in the unit of the line, nought or more.
        reckoning: the sum in words and figures.
    """

    part: str = ""
    area: str = ""
    quantity: float
    reckoning: str

    def __post_init__(self) -> None:
        require_not_negative("quantity of an order", self.quantity)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One thing to order.

    Attributes:
        item: what.
        detail: which: "drip edge", "450 g/m²"; empty where the item says it all.
        unit: "kg", "ml", "m", "1" for pieces.
        portions: what the need is made of.
        waste_pct: ordered beyond the need, %, nought or more.
        sizes: what one container holds, in the unit; 1 for pieces.
        rests_on: names of the figures and checks that the line rests on.
        density_g_per_ml: density of a liquid that is ordered by mass, g/ml, or None.
        containers: whole containers that hold what is ordered.
    """

    item: Item
    detail: str = ""
    unit: str
    portions: tuple[Portion, ...]
    waste_pct: float
    sizes: tuple[float, ...]
    rests_on: tuple[str, ...]
    density_g_per_ml: float | None = None
    containers: tuple[Container, ...] = field(init=False)

    def __post_init__(self) -> None:
        require_not_negative(f"waste of {self.item.value}, %", self.waste_pct)
        object.__setattr__(self, "containers", containers_for(self.ordered, sizes=self.sizes))

    @property
    def need(self) -> float:
        """What the work takes, offcuts and overlaps included."""
        return fsum(portion.quantity for portion in self.portions)

    @property
    def ordered(self) -> float:
        """The need and its waste.

        ordered = need * (1 + waste / 100).
        """
        return self.need * (1.0 + self.waste_pct / 100.0)

    @property
    def supplied(self) -> float:
        """What the whole containers hold."""
        return fsum(container.content for container in self.containers)

    @property
    def supplied_l(self) -> float | None:
        """The same of a liquid that is ordered by mass, litres; None for all else."""
        if self.density_g_per_ml is None:
            return None
        return litres(self.supplied, density_g_per_ml=self.density_g_per_ml)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """An order for a roof.

    Attributes:
        deck_c: deck temperature that the catalyst is reckoned for, °C.
        laid_m2: area to be laid, with the upstands, m².
        areas: number of areas.
        lines: what to order, in the order of the work.
        remarks: what the order takes for granted or leaves out, one sentence each.
    """

    deck_c: float
    laid_m2: float
    areas: int
    lines: tuple[OrderLine, ...]
    remarks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        require_positive("area to be laid, m²", self.laid_m2)

    def line(self, item: Item, detail: str = "") -> OrderLine | None:
        """The line of an item, or None where nothing of it is needed."""
        for line in self.lines:
            if line.item is item and line.detail == detail:
                return line
        return None

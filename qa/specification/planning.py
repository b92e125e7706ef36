"""Reading of what a specification takes for granted before the work: orders and mixes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from qa.specification.figures import ABOVE_NOUGHT, read_figure
from qa.specification.plan_figures import Planning
from qa.specification.sourced import Basis, Sizes
from qa.specification.table import Table
from qa.trade.containers import MOST_SIZES

PLANNING_UNITS: Mapping[str, str] = {
    "board_length_m": "m",
    "board_width_m": "m",
    "joist_centres_m": "m",
    "fixing_least_mm": "mm",
    "fixing_thicknesses": "1",
    "trim_length_m": "m",
    "liquid_resin_g_per_ml": "g/ml",
    "liquid_topcoat_g_per_ml": "g/ml",
    "adhesive_ml_per_overlap": "ml",
    "resin_waste_pct": "%",
    "catalyst_waste_pct": "%",
    "mat_waste_pct": "%",
    "bandage_waste_pct": "%",
    "topcoat_waste_pct": "%",
    "board_waste_pct": "%",
    "batten_waste_pct": "%",
    "fixing_waste_pct": "%",
    "adhesive_waste_pct": "%",
    "catalyst_active_oxygen_pct": "%",
    "catalyst_departure_pct": "%",
    "crew_pace_m2_per_h": "m2/h",
    "largest_mix_kg": "kg",
    "weighing_step_kg": "kg",
}
"""Every figure that a plan needs, and its unit."""

SIZE_UNITS: Mapping[str, str] = {
    "resin_tins_kg": "kg",
    "catalyst_bottles_ml": "ml",
    "mat_rolls_m": "m",
    "bandage_rolls_m": "m",
    "topcoat_tins_kg": "kg",
    "fixing_boxes": "1",
    "adhesive_cartridges_ml": "ml",
}
"""Every material that is sold in containers, and the unit of their content."""

_MAY_BE_NOUGHT = ("_waste_pct", "_departure_pct")


def read_planning(root: Table) -> Planning | None:
    """Read the figures for planning; None where any has a fault, which is noted."""
    table = root.table("planning")
    found: dict[str, Any] = {}
    for key, unit in PLANNING_UNITS.items():
        least = 0.0 if key.endswith(_MAY_BE_NOUGHT) else ABOVE_NOUGHT
        found[key] = read_figure(table.table(key), unit, least=least)
    for key, unit in SIZE_UNITS.items():
        found[key] = _read_sizes(table.table(key), unit)
    table.refuse_rest()
    return None if None in found.values() else Planning(**found)


def _read_sizes(table: Table, unit: str) -> Sizes | None:
    sizes = Sizes(
        values=table.numbers("values"),
        unit=table.text("unit"),
        basis=table.choice("basis", Basis),
        source=table.text("source"),
    )
    table.refuse_rest()
    if table.is_faulty:
        return None
    misfits = tuple(_size_misfits(sizes, unit))
    for key, sentence in misfits:
        table.note(key, sentence)
    return None if misfits else sizes


def _size_misfits(sizes: Sizes, unit: str) -> Iterator[tuple[str, str]]:
    if sizes.unit != unit:
        yield "unit", f'unit is "{sizes.unit}"; the arithmetic counts this in "{unit}".'
    if len(sizes.values) > MOST_SIZES:
        yield "values", f"values are {len(sizes.values)}; name {MOST_SIZES} or fewer."

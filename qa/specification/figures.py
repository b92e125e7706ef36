"""Reading of a specification's rates, properties of materials and battens."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from qa.specification.model import Basis, Figure, Figures
from qa.specification.table import Table
from qa.trade.vocabulary import EdgeKind

FIGURE_UNITS: Mapping[str, str] = {
    "resin_to_glass": "1",
    "deck_uptake_kg_per_m2": "kg/m2",
    "topcoat_kg_per_m2": "kg/m2",
    "glass_g_per_cm3": "g/cm3",
    "cured_resin_g_per_cm3": "g/cm3",
    "topcoat_g_per_cm3": "g/cm3",
    "catalyst_g_per_ml": "g/ml",
    "bandage_width_mm": "mm",
    "bandage_g_per_m2": "g/m2",
    "mat_width_m": "m",
    "mat_overlap_m": "m",
    "bay_length_m": "m",
    "cure_doubling_k": "K",
    "cure_floor_c": "°C",
    "cure_reference_c": "°C",
    "cure_longest_gap_h": "h",
    "stir_after_topcoat_s": "s",
    "topcoat_clock_hours": "h",
    "reading_holds_h": "h",
}
"""Every figure that the arithmetic needs, and its unit."""

ABOVE_NOUGHT = math.ulp(0.0)
"""The least value of a figure that must be more than 0."""
_COLDEST_C = -20.0

_LEAST: Mapping[str, float] = {
    "deck_uptake_kg_per_m2": 0.0,
    "mat_overlap_m": 0.0,
    "cure_floor_c": _COLDEST_C,
    "cure_reference_c": _COLDEST_C,
}
"""The least possible value of a figure; the others are above nought."""


def read_figures(root: Table) -> Figures | None:
    """Read the rates and properties of materials; None where any has a fault, which is noted."""
    table = root.table("figure")
    found: dict[str, Figure] = {}
    for key, unit in FIGURE_UNITS.items():
        least = _LEAST.get(key, ABOVE_NOUGHT)
        if (figure := read_figure(table.table(key), unit, least=least)) is not None:
            found[key] = figure
    table.refuse_rest()
    if len(found) < len(FIGURE_UNITS):
        return None
    figures = Figures(**found)
    if not figures.mat_overlap_m.value < figures.mat_width_m.value:
        table.note("mat_overlap_m", "mat_overlap_m must be less than mat_width_m.")
    if not figures.cure_floor_c.value < figures.cure_reference_c.value:
        table.note("cure_floor_c", "cure_floor_c must be less than cure_reference_c.")
    return figures


def read_battens(root: Table) -> Mapping[EdgeKind, Figure]:
    """Read how many battens stand behind an edge of each kind that has any."""
    table = root.table("battens")
    battens: dict[EdgeKind, Figure] = {}
    for kind in EdgeKind:
        if kind in table and (figure := read_figure(table.table(kind), "1")) is not None:
            battens[kind] = figure
            if not figure.value.is_integer():
                table.note(kind, f"{kind} has {figure.value:g} battens; write a whole number.")
    table.refuse_rest()
    return MappingProxyType(battens)


def read_figure(table: Table, unit: str, *, least: float = ABOVE_NOUGHT) -> Figure | None:
    """Read one sourced number; None where it has a fault, which is noted.

    Args:
        table: the figure's own table.
        unit: the unit in which the arithmetic counts it.
        least: the least possible value.
    """
    figure = Figure(
        value=table.number("value"),
        unit=table.text("unit"),
        basis=table.choice("basis", Basis),
        source=table.text("source"),
    )
    table.refuse_rest()
    if table.is_faulty:
        return None
    misfits = tuple(_figure_misfits(figure, unit, least))
    for key, sentence in misfits:
        table.note(key, sentence)
    return None if misfits else figure


def _figure_misfits(figure: Figure, unit: str, least: float) -> Iterator[tuple[str, str]]:
    if figure.unit != unit:
        yield "unit", f'unit is "{figure.unit}"; the arithmetic counts this in "{unit}".'
    if figure.value < least:
        words = "more than 0" if least == ABOVE_NOUGHT else f"{least:g} or more"
        yield "value", f"value is {figure.value:g}; it must be {words}."

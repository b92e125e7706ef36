"""Reading of the uncertainties that a specification gives where no instrument tells them."""

from __future__ import annotations

from collections.abc import Mapping

from qa.specification.figures import read_figure
from qa.specification.model import Figure, UncertaintyFigures
from qa.specification.table import Table

UNCERTAINTY_UNITS: Mapping[str, str] = {
    "mass_kg": "kg",
    "catalyst_ml": "ml",
    "outline_m": "m",
    "bay_edge_m": "m",
    "mat_pct": "%",
    "level_mm": "mm",
}
"""Every uncertainty that stands in where no instrument tells it, and its unit."""


def read_uncertainties(root: Table) -> UncertaintyFigures | None:
    """Read the uncertainties that stand in; None where any has a fault, which is noted."""
    table = root.table("uncertainty")
    found: dict[str, Figure] = {}
    for key, unit in UNCERTAINTY_UNITS.items():
        if (figure := read_figure(table.table(key), unit, least=0.0)) is not None:
            found[key] = figure
    table.refuse_rest()
    return UncertaintyFigures(**found) if len(found) == len(UNCERTAINTY_UNITS) else None

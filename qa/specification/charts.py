"""Reading of a specification's dose charts and of its table of gel times."""

from __future__ import annotations

from qa.errors import DomainError
from qa.specification.model import Basis, SourcedChart, SourcedGelModel
from qa.specification.table import Table
from qa.trade.catalyst import DoseChart, DoseRow
from qa.trade.gel_time import GelDomain, GelModel, GelPoint


def read_chart(charts: Table, name: str) -> SourcedChart | None:
    """Read a dose chart; None where it cannot be used, which has then been noted.

    Args:
        charts: the table "chart".
        name: the chart's key in it, such as "resin_dose".
    """
    table = charts.table(name)
    basis, source = table.choice("basis", Basis), table.text("source")
    rows = [_read_row(row) for row in table.rows("rows")]
    table.refuse_rest()
    sound = tuple(row for row in rows if row is not None)
    if table.is_faulty or len(sound) < len(rows):
        return None
    try:
        return SourcedChart(basis=basis, source=source, chart=DoseChart(rows=sound))
    except DomainError as error:
        table.note("rows", str(error))
        return None


def _read_row(row: Table) -> DoseRow | None:
    figures = {
        "from_c": row.number("from_c"),
        "to_c": row.number("to_c"),
        "target_ml_per_kg": row.number("target_ml_per_kg"),
        "lower_ml_per_kg": row.number("lower_ml_per_kg"),
        "upper_ml_per_kg": row.number("upper_ml_per_kg"),
    }
    includes_to = row.optional(row.flag, "includes_to") or False
    row.refuse_rest()
    if row.is_faulty:
        return None
    try:
        return DoseRow(includes_to=includes_to, **figures)
    except DomainError as error:
        row.note("from_c", str(error))
        return None


def read_gel_time(root: Table) -> SourcedGelModel | None:
    """Read the gel times and fit the estimate; None where it cannot be used, which is noted."""
    table = root.table("gel_time")
    basis, source = table.choice("basis", Basis), table.text("source")
    domain = _read_domain(table.table("domain"))
    spread_ratio = table.number("spread_ratio")
    points = [_read_point(row) for row in table.rows("points")]
    table.refuse_rest()
    sound = [point for point in points if point is not None]
    if table.is_faulty or domain is None or len(sound) < len(points):
        return None
    try:
        model = GelModel.fit(sound, domain=domain, spread_ratio=spread_ratio)
    except DomainError as error:
        table.note("points", str(error))
        return None
    return SourcedGelModel(
        basis=basis, source=source, model=model, points=tuple(sound), spread_ratio=spread_ratio
    )


def _read_domain(table: Table) -> GelDomain | None:
    figures = {
        "from_c": table.number("from_c"),
        "to_c": table.number("to_c"),
        "from_ml_per_kg": table.number("from_ml_per_kg"),
        "to_ml_per_kg": table.number("to_ml_per_kg"),
    }
    table.refuse_rest()
    if table.is_faulty:
        return None
    try:
        return GelDomain(**figures)
    except DomainError as error:
        table.note("from_c", str(error))
        return None


def _read_point(row: Table) -> GelPoint | None:
    figures = {
        "deck_c": row.number("deck_c"),
        "dose_ml_per_kg": row.number("dose_ml_per_kg"),
        "gel_min": row.number("gel_min"),
    }
    row.refuse_rest()
    if row.is_faulty:
        return None
    try:
        return GelPoint(**figures)
    except DomainError as error:
        row.note("deck_c", str(error))
        return None

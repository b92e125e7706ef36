"""The take-off as text: a table for a terminal, JSON for a program, CSV for a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from typing import Any

from qa.packs.takeoff.rows import ITEM_WORDS, basis_text, containers_text, order_rows, portion_text
from qa.specification.model import Specification
from qa.specification.order_rates import sources_of
from qa.specification.sourced import Sizes, Sourced
from qa.trade.notation import quantity_text
from qa.trade.ordering import OrderLine, TakeOff

_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a spreadsheet takes for the beginning of a formula."""

_COLUMNS = (
    "item",
    "detail",
    "unit",
    "need",
    "waste_pct",
    "ordered",
    "containers",
    "supplied",
    "basis",
    "reckoning",
)


def order_text(title: str, order: TakeOff, specification: Specification) -> str:
    """The take-off as a table of text for a terminal."""
    return "\n".join(_lines(title, order, specification)) + "\n"


def _lines(title: str, order: TakeOff, specification: Specification) -> Iterator[str]:
    yield f"Take-off: {title}"
    deck = quantity_text(order.deck_c, "°C")
    yield f"{quantity_text(order.laid_m2, 'm2')} to lay, by {specification.name}; deck {deck}"
    yield ""
    rows = order_rows(order, specification)
    width = max(len(row.what) for row in rows)
    yield f"{'':<{width}}  {'need':>9}  {'waste':>5}  order"
    for row in rows:
        yield f"{row.what:<{width}}  {row.need:>9}  {row.waste:>5}  {row.order}"
        yield from (f"    {part}" for part in row.reckoning)
    yield ""
    yield from order.remarks
    yield "Order is need and waste, in whole containers."
    yield specification.note


def order_json(title: str, order: TakeOff, specification: Specification) -> str:
    """The take-off as JSON, with the source of every figure that a line rests on."""
    answer = {
        "title": title,
        "specification": specification.name,
        "specification_sha256": specification.sha256,
        "deck_c": order.deck_c,
        "laid_m2": order.laid_m2,
        "remarks": list(order.remarks),
        "lines": [_line(line, specification) for line in order.lines],
    }
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"


def _line(line: OrderLine, specification: Specification) -> dict[str, Any]:
    return {
        "item": line.item.value,
        "detail": line.detail or None,
        "unit": line.unit,
        "need": line.need,
        "waste_pct": line.waste_pct,
        "ordered": line.ordered,
        "containers": [{"size": one.size, "count": one.count} for one in line.containers],
        "supplied": line.supplied,
        "supplied_l": line.supplied_l,
        "portions": [
            {
                "part": one.part or None,
                "area": one.area or None,
                "quantity": one.quantity,
                "reckoning": one.reckoning,
            }
            for one in line.portions
        ],
        "rests_on": [
            _source(name, one) for name in line.rests_on for one in sources_of(specification, name)
        ],
    }


def _source(name: str, sourced: Sourced) -> dict[str, Any]:
    values: dict[str, Any] = {}
    if isinstance(sourced, Sizes):
        values = {"values": list(sourced.values), "unit": sourced.unit}
    elif hasattr(sourced, "value"):
        values = {"value": sourced.value, "unit": getattr(sourced, "unit", None)}
    return {"name": name, **values, "basis": sourced.basis.value, "source": sourced.source}


def order_csv(order: TakeOff, specification: Specification) -> str:
    """The take-off as CSV (RFC 4180), with a head line; no cell is read as a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_COLUMNS)
    for line in order.lines:
        reckoning = "; ".join(portion_text(one, areas=order.areas) for one in line.portions)
        cells = (
            ITEM_WORDS[line.item],
            line.detail,
            "pieces" if line.unit == "1" else line.unit,
            _number(line.need),
            _number(line.waste_pct),
            _number(line.ordered),
            containers_text(line),
            _number(line.supplied),
            basis_text(line, specification),
            reckoning,
        )
        writer.writerow(map(_harmless, cells))
    return out.getvalue()


def _number(value: float) -> str:
    return f"{round(value, 3):.10g}"


def _harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula: an apostrophe before one says "text"."""
    return f"'{cell}" if cell.startswith(_FORMULA_SIGNS) else cell

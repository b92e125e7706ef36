"""The take-off on one page, to send with an order; the figures and sources travel inside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time

from qa.packs.rendering import Attachment, Document
from qa.packs.takeoff.listing import order_csv, order_json
from qa.packs.takeoff.rows import OrderRow, order_rows
from qa.packs.templating import render
from qa.specification.model import Specification
from qa.trade.notation import quantity_text
from qa.trade.ordering import AreaToLay, TakeOff


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderSheet:
    """What the page says.

    Attributes:
        title: what is to be roofed.
        facts: labels and what stands beside them.
        rows: the lines of the order.
        remarks: what the order takes for granted or leaves out.
        note: what the specification says of itself.
        program: name and version of the program.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    rows: tuple[OrderRow, ...]
    remarks: tuple[str, ...]
    note: str
    program: str


def order_document(
    order: TakeOff,
    specification: Specification,
    specification_bytes: bytes,
    *,
    title: str,
    firm: str | None,
    areas: tuple[AreaToLay, ...],
    dated: date,
    program: str,
) -> Document:
    """The page of a take-off before it is rendered.

    Args:
        order: the take-off.
        specification: what it was reckoned by.
        specification_bytes: that file, which travels inside the page.
        title: what is to be roofed.
        firm: who orders, or None.
        areas: the areas that were taken off.
        dated: the day on the page.
        program: name and version of the program.
    """
    sheet = OrderSheet(
        title=title,
        facts=tuple(_facts(order, specification, firm, areas, dated)),
        rows=order_rows(order, specification),
        remarks=order.remarks,
        note=specification.note,
        program=program,
    )
    return Document(
        html=render("packs/takeoff/sheet.html", c=sheet),
        title=f"Take-off: {title}",
        author=firm or "Laidtrue",
        subject=f"What to order for {quantity_text(order.laid_m2, 'm2')} of roof, by "
        f"{specification.name}",
        dated=datetime.combine(dated, time(), UTC),
        attachments=_attachments(title, order, specification, specification_bytes),
    )


def _facts(
    order: TakeOff,
    specification: Specification,
    firm: str | None,
    areas: tuple[AreaToLay, ...],
    dated: date,
) -> list[tuple[str, str]]:
    named = "; ".join(f"{area.name}, {area.laid_m2:.1f} m²" for area in areas)
    facts = [("Date", f"{dated.day} {dated:%B %Y}"), ("Roof", named)]
    if firm is not None:
        facts.insert(0, ("Firm", firm))
    facts.append(("Catalyst for a deck of", quantity_text(order.deck_c, "°C")))
    facts.append(("Reckoned by", f"{specification.name}, {specification.title}"))
    return facts


def _attachments(
    title: str, order: TakeOff, specification: Specification, specification_bytes: bytes
) -> tuple[Attachment, ...]:
    return (
        Attachment(
            name="take-off.json",
            content=order_json(title, order, specification).encode(),
            media_type="application/json",
            description="The take-off with the source of every figure",
        ),
        Attachment(
            name="take-off.csv",
            content=order_csv(order, specification).encode(),
            media_type="text/csv",
            description="The take-off for a spreadsheet",
        ),
        Attachment(
            name="specification.toml",
            content=specification_bytes,
            media_type="application/toml",
            description="The figures that the take-off was reckoned by",
        ),
    )

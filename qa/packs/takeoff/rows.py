"""An order line in words: what it is called, how much, in which containers, on what it rests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from qa.specification.model import Basis, Specification
from qa.specification.order_rates import sources_of
from qa.trade.notation import number_text, quantity_text
from qa.trade.ordering import Item, OrderLine, Portion, TakeOff

ITEM_WORDS: Mapping[Item, str] = {
    Item.BOARD: "Boards, OSB/3, tongue and groove",
    Item.DECK_FIXING: "Fixings for boards, ring-shank nails or screws",
    Item.BATTEN: "Battens behind edges",
    Item.TRIM: "Trims",
    Item.TRIM_FIXING: "Fixings for trims",
    Item.ADHESIVE: "Adhesive for overlaps of trims",
    Item.BANDAGE: "Bandage",
    Item.MAT: "Chopped strand mat",
    Item.RESIN: "Resin",
    Item.TOPCOAT: "Topcoat",
    Item.CATALYST: "Catalyst",
}

_CONTAINERS: Mapping[Item, tuple[str, str]] = {
    Item.BOARD: ("board", "boards"),
    Item.DECK_FIXING: ("box", "boxes"),
    Item.TRIM: ("trim", "trims"),
    Item.TRIM_FIXING: ("box", "boxes"),
    Item.ADHESIVE: ("cartridge", "cartridges"),
    Item.BANDAGE: ("roll", "rolls"),
    Item.MAT: ("roll", "rolls"),
    Item.RESIN: ("tin", "tins"),
    Item.TOPCOAT: ("tin", "tins"),
    Item.CATALYST: ("bottle", "bottles"),
}

_BASES = (Basis.PUBLISHED, Basis.COMMON_PRACTICE, Basis.PROJECT_CHOICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One line of an order as it is printed.

    Attributes:
        what: item and detail.
        need: quantity with its unit.
        waste: what is ordered beyond it, "5 %", or nothing.
        order: whole containers: "2 tins of 20 kg, 1 tin of 10 kg".
        reckoning: how the need was reckoned, part by part.
        brief: the same in one sentence; of several areas, only what each part came to.
        basis: the kinds of source that its figures have.
    """

    what: str
    need: str
    waste: str
    order: str
    reckoning: tuple[str, ...]
    brief: str
    basis: str


def order_rows(order: TakeOff, specification: Specification) -> tuple[OrderRow, ...]:
    """The lines of an order in words."""
    return tuple(_row(line, specification, order.areas) for line in order.lines)


def _row(line: OrderLine, specification: Specification, areas: int) -> OrderRow:
    return OrderRow(
        what=what_text(line),
        need=amount_text(line.need, line.unit),
        waste=f"{number_text(line.waste_pct)} %" if line.waste_pct else "",
        order=ordered_text(line),
        reckoning=tuple(portion_text(portion, areas=areas) for portion in line.portions),
        brief=_brief(line, areas=areas),
        basis=basis_text(line, specification),
    )


def _brief(line: OrderLine, *, areas: int) -> str:
    if areas == 1:
        return "; ".join(portion_text(portion, areas=1) for portion in line.portions)
    named = any(portion.area for portion in line.portions)
    if not named:
        return "; ".join(portion_text(portion, areas=areas) for portion in line.portions)
    sums: dict[str, float] = {}
    for portion in line.portions:
        label = portion.part or portion.area
        sums[label] = sums.get(label, 0.0) + portion.quantity
    return ", ".join(f"{label} {amount_text(sum_, line.unit)}" for label, sum_ in sums.items())


def portion_text(portion: Portion, *, areas: int) -> str:
    """How a part of a need was reckoned; its area is named where the roof has several.

    >>> portion_text(Portion(part="laminate", area="Porch", quantity=6, reckoning="…"), areas=1)
    'laminate: …'
    """
    area = portion.area if areas > 1 else ""
    label = ", ".join(part for part in (portion.part, area) if part)
    return f"{label}: {portion.reckoning}" if label else portion.reckoning


def what_text(line: OrderLine) -> str:
    """Item and detail: "Trims, drip edge, 3 m"."""
    words = ITEM_WORDS[line.item]
    return f"{words}, {line.detail}" if line.detail else words


def amount_text(quantity: float, unit: str) -> str:
    """A quantity to be read in a list: whole pieces and millilitres, kilograms to a tenth.

    >>> amount_text(44.2317, "kg"), amount_text(2066.7, "ml"), amount_text(18.0, "1")
    ('44.2 kg', '2067 ml', '18')
    """
    if unit in ("1", "ml"):
        return quantity_text(round(quantity), unit)
    return quantity_text(round(quantity, 1), unit)


def containers_text(line: OrderLine) -> str:
    """Whole containers: "2 tins of 20 kg, 1 tin of 10 kg", or "19 boards"."""
    if line.item not in _CONTAINERS:
        return amount_text(line.supplied, line.unit)
    one, many = _CONTAINERS[line.item]
    texts = []
    for container in line.containers:
        of = f" of {quantity_text(container.size, line.unit)}" if container.size != 1 else ""
        texts.append(f"{container.count} {one if container.count == 1 else many}{of}")
    return ", ".join(texts)


def ordered_text(line: OrderLine) -> str:
    """Whole containers, and the litres in those of a liquid that is sold by mass."""
    litres = line.supplied_l
    if litres is None:
        return containers_text(line)
    return f"{containers_text(line)} ({quantity_text(round(litres, 1), 'l')})"


def basis_text(line: OrderLine, specification: Specification) -> str:
    """The kinds of source of all figures that a line rests on, the firmest first."""
    found = {one.basis for name in line.rests_on for one in sources_of(specification, name)}
    return ", ".join(basis.value for basis in _BASES if basis in found)

"""Mass balance by lot: what was bought, used, wasted, and what is left by the book.

What was weighed out for an area and stage counts. Where nothing was, the mixes made there stand in,
as in `qa.assess.consumption`. Nobody records what is left over, so the book is only ever wrong for
certain where more of a lot went than was bought.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from qa.assess.finding import Finding
from qa.assess.frame import Frame, grouped
from qa.assess.instruments import Stated
from qa.assess.judging import finding
from qa.record.job import Recorded
from qa.record.kinds.supplies import Lot, Unit
from qa.record.schema import Body
from qa.trade.consumption import LotBalance
from qa.trade.notation import number_text, quantity_text
from qa.trade.uncertainty import Measured, sum_of
from qa.trade.vocabulary import Material, Stage

BALANCE = "lot.balance"


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """What one entry took from a lot.

    Attributes:
        quantity: what left the container, waste included, in `unit`.
        wasted: the part of it that was not laid, or None where nothing was said of waste.
        known: how well the quantity is known, k = 2, in `unit`; None: not known.
    """

    on: Recorded[Body]
    quantity: float
    unit: Unit
    wasted: float | None
    known: Stated | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotBook:
    """The book of one lot, in the unit in which it was bought.

    Attributes:
        takings: everything that the record says was taken from it, in the order of the record.
        balance: what was bought, used, wasted and is left; None where a taking is in a unit that
            cannot be turned into the lot's.
        taken: what left the container, waste included, with its uncertainty; None as `balance`.
        is_known: whether the uncertainty of every taking is known.
        tells_waste: whether any taking says what was wasted.
    """

    lot: Recorded[Lot]
    takings: tuple[Taking, ...]
    balance: LotBalance | None
    taken: Measured | None
    is_known: bool
    tells_waste: bool


def lot_books(frame: Frame) -> tuple[LotBook, ...]:
    """The books of all lots, in the order of the record."""
    takings = _takings(frame)
    return tuple(_book(frame, lot, tuple(takings.get(lot.body.lot, ()))) for lot in frame.job.lots)


def judge_lots(frame: Frame) -> Iterator[Finding]:
    """One finding for each lot that something was taken from, as far as units allow."""
    for book in lot_books(frame):
        balance, taken = book.balance, book.taken
        if balance is None or taken is None or not book.takings:
            continue
        yield finding(
            frame,
            BALANCE,
            stage=Stage.COMPLETION,
            subject=book.lot.body.lot,
            value=100.0 * taken.value / balance.bought,
            expanded_uncertainty=(
                100.0 * taken.expanded_uncertainty / balance.bought if book.is_known else None
            ),
            on=(book.lot, *(taking.on for taking in book.takings)),
            remark=_book_text(book, balance, taken),
        )


def _book_text(book: LotBook, balance: LotBalance, taken: Measured) -> str:
    """The book in words: "30 of 40 kg were taken, 2 of them wasted; left by the book: 10 kg."."""
    unit = "pieces" if book.lot.body.unit is Unit.PIECE else book.lot.body.unit
    wasted = f", {number_text(balance.wasted)} of them wasted" if book.tells_waste else ""
    return (
        f"{number_text(taken.value)} of {quantity_text(balance.bought, unit)} were taken{wasted}; "
        f"left by the book: {quantity_text(balance.left_by_book, unit)}."
    )


def _takings(frame: Frame) -> Mapping[str, list[Taking]]:
    """Everything that was taken, by lot."""
    takings: dict[str, list[Taking]] = defaultdict(list)
    weighed = set()
    for usage in frame.job.usages:
        body = usage.body
        weighed.add((body.lot, body.stage, body.area))
        takings[body.lot].append(
            Taking(
                on=usage,
                quantity=body.used,
                unit=body.unit,
                wasted=body.wasted,
                known=_known_of_usage(frame, body.unit, body.instrument),
            )
        )
    mass, catalyst = frame.known.of_mix.mass, _in_litres(frame.known.of_mix.catalyst)
    for mix in frame.job.mixes:
        poured = mix.body
        where = (poured.stage, poured.area)
        for lot, quantity, unit, known in (
            (poured.lot, poured.kg, Unit.KG, mass),
            (poured.catalyst_lot, poured.catalyst_ml / 1000.0, Unit.L, catalyst),
        ):
            if (lot, *where) not in weighed:
                taking = Taking(on=mix, quantity=quantity, unit=unit, wasted=None, known=known)
                takings[lot].append(taking)
    return takings


def _known_of_usage(frame: Frame, unit: Unit, instrument: str | None) -> Stated | None:
    if unit is Unit.PIECE:
        return Stated(uncertainty=0.0, instrument="count")
    return frame.known.mass(instrument) if unit is Unit.KG else None


def _in_litres(stated: Stated) -> Stated:
    return Stated(uncertainty=stated.uncertainty / 1000.0, instrument=stated.instrument)


def _book(frame: Frame, lot: Recorded[Lot], takings: tuple[Taking, ...]) -> LotBook:
    factors = [unit_factor(frame, taking.unit, lot.body) for taking in takings]
    balance = taken = None
    if None not in factors:
        turned = [(t, factor) for t, factor in zip(takings, factors, strict=True) if factor]
        taken = sum_of(_measured(turned))
        wasted = fsum((taking.wasted or 0.0) * factor for taking, factor in turned)
        balance = LotBalance(bought=lot.body.quantity, used=taken.value - wasted, wasted=wasted)
    return LotBook(
        lot=lot,
        takings=takings,
        balance=balance,
        taken=taken,
        is_known=all(taking.known is not None for taking in takings),
        tells_waste=any(taking.wasted is not None for taking in takings),
    )


def _measured(turned: Iterable[tuple[Taking, float]]) -> Iterator[Measured]:
    """What was taken, in the lot's unit, by scale: weighings on one scale share its error."""
    by_scale = grouped(turned, lambda pair: pair[0].known and pair[0].known.instrument)
    for scale, weighings in by_scale.items():
        yield Measured.expanded(
            fsum(taking.quantity * factor for taking, factor in weighings),
            source=scale or "not known",
            uncertainty=fsum(t.known.uncertainty * factor for t, factor in weighings if t.known),
        )


def unit_factor(frame: Frame, unit: Unit, lot: Lot) -> float | None:
    """What turns a quantity in `unit` into the unit of a lot; None where nothing does.

    Litres and kg are turned by the lot's density; a catalyst whose lot gives none has the
    specification's.
    """
    if unit is lot.unit:
        return 1.0
    density = lot.density_g_per_ml
    if density is None and lot.material is Material.CATALYST:
        density = frame.specification.figures.catalyst_g_per_ml.value
    if density is None:
        return None
    if (unit, lot.unit) == (Unit.L, Unit.KG):
        return density
    return 1.0 / density if (unit, lot.unit) == (Unit.KG, Unit.L) else None

"""Lots and their mass balance by the book: bought, used, wasted, left, and into which mixes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.lot_balance import BALANCE, LotBook, lot_books
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart, said
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.found import NOTHING
from qa.record.kinds.supplies import Lot, Unit
from qa.trade.notation import number_text, quantity_text


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRow:
    """One lot as it came to the job.

    Attributes:
        properties: use-by date, density, active oxygen, as far as they are recorded.
        taken: what left the container, waste included, weighed out or added up from mixes.
        left: what is left by the book; less than nothing where more was taken than bought.
        verdict: how its balance was judged, or None where nothing tells what was taken.
        mixes: the mixes that it went into, or nothing.
        photos: numbers of the photo entries that show it, or nothing.
    """

    lot: str
    product: str
    batch: str
    use_by: str
    properties: str
    bought: str
    taken: str
    wasted: str
    left: str
    verdict: Said | None
    apart: bool
    mixes: str
    photos: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lots:
    """What the chapter shows."""

    rows: tuple[LotRow, ...]
    unregistered: tuple[str, ...]


def lots(source: PackSource, citing: Citing) -> Lots:
    """All lots of the job."""
    registered = set(source.frame.lots)
    named = {key for mix in source.job.mixes for key in (mix.body.lot, mix.body.catalyst_lot)}
    judged = {
        found.subject: found for found in source.assessment.findings if found.check == BALANCE
    }
    return Lots(
        rows=tuple(
            _row(source, citing, book, judged.get(book.lot.body.lot))
            for book in lot_books(source.frame)
        ),
        unregistered=tuple(sorted(named - registered)),
    )


def _row(source: PackSource, citing: Citing, book: LotBook, judged: Finding | None) -> LotRow:
    body, balance = book.lot.body, book.balance
    mixes = [m.body.mix for m in source.job.mixes if body.lot in (m.body.lot, m.body.catalyst_lot)]
    photos = source.frame.photos_by.get(("lot", body.lot), ())
    is_told = balance is not None and book.tells_waste
    return LotRow(
        lot=body.lot,
        product=f"{body.product} ({body.material})",
        batch=body.batch_number,
        use_by=source.day_text(body.use_by) if body.use_by else NOTHING,
        properties=", ".join(_properties(body)),
        bought=quantity_text(body.quantity, body.unit),
        taken=_taken_text(book),
        wasted=_quantity(balance.wasted if balance and is_told else None, body.unit),
        left=_quantity(balance.left_by_book if balance else None, body.unit),
        verdict=said(judged) if judged else None,
        apart=judged is not None and is_apart([judged]),
        mixes=", ".join(mixes),
        photos=citing.numbers(photo.id for photo in photos),
    )


def _properties(lot: Lot) -> Iterator[str]:
    if lot.density_g_per_ml is not None:
        yield quantity_text(lot.density_g_per_ml, "g/ml")
    if lot.active_oxygen_pct is not None:
        yield f"active oxygen {number_text(lot.active_oxygen_pct)}\u00a0%"


def _taken_text(book: LotBook) -> str:
    """What left the container, waste included; in words where nothing, or no one unit, tells it."""
    if not book.takings:
        return "none told"
    if book.taken is None:
        return "unit unknown"
    return quantity_text(book.taken.value, book.lot.body.unit)


def _quantity(quantity: float | None, unit: Unit) -> str:
    return NOTHING if quantity is None else quantity_text(quantity, unit)

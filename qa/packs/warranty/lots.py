"""Lots and their mass balance by the book: bought, used, wasted, left, and into which mixes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from qa.packs.source import PackSource
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.found import NOTHING
from qa.record.job import Recorded
from qa.record.kinds.supplies import Lot, Mix, Unit
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Material

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRow:
    """One lot as it came to the job.

    Attributes:
        properties: use-by date, density, active oxygen, as far as they are recorded.
        used: what left the container, weighed out or added up from mixes.
        left: what is left by the book, or why that cannot be said.
        is_overdrawn: whether more left the container than was bought.
        mixes: the mixes that it went into, or nothing.
        photos: numbers of the photo entries that show it, or nothing.
    """

    lot: str
    product: str
    batch: str
    use_by: str
    properties: str
    bought: str
    used: str
    wasted: str
    left: str
    is_overdrawn: bool
    mixes: str
    photos: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lots:
    """What the chapter shows."""

    rows: tuple[LotRow, ...]
    unregistered: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What a lot's book says, in the unit in which it was bought.

    Attributes:
        used: what left the container, waste included; None where a unit cannot be turned.
        wasted: the part of it that was not laid, as far as it was recorded.
    """

    bought: float
    used: float | None
    wasted: float | None

    @property
    def left(self) -> float | None:
        """What is left by the book; less than nothing where more was used than bought."""
        return None if self.used is None else self.bought - self.used

    @property
    def is_overdrawn(self) -> bool:
        """Whether more left the container than was bought."""
        return self.left is not None and self.left < -_ROUNDING * self.bought


def lots(source: PackSource, citing: Citing) -> Lots:
    """All lots of the job."""
    registered = set(source.frame.lots)
    named = {key for mix in source.job.mixes for key in (mix.body.lot, mix.body.catalyst_lot)}
    return Lots(
        rows=tuple(_row(source, citing, recorded) for recorded in source.job.lots),
        unregistered=tuple(sorted(named - registered)),
    )


def _row(source: PackSource, citing: Citing, recorded: Recorded[Lot]) -> LotRow:
    body = recorded.body
    balance = balance_of(source, body)
    mixes = [m.body.mix for m in source.job.mixes if body.lot in (m.body.lot, m.body.catalyst_lot)]
    photos = source.frame.photos_by.get(("lot", body.lot), ())
    return LotRow(
        lot=body.lot,
        product=f"{body.product} ({body.material})",
        batch=body.batch_number,
        use_by=source.day_text(body.use_by) if body.use_by else NOTHING,
        properties=", ".join(_properties(body)),
        bought=quantity_text(body.quantity, body.unit),
        used=_used_text(balance.used, body.unit),
        wasted=_quantity(balance.wasted, body.unit),
        left=_quantity(balance.left, body.unit),
        is_overdrawn=balance.is_overdrawn,
        mixes=", ".join(mixes),
        photos=citing.numbers(photo.id for photo in photos),
    )


def _used_text(used: float | None, unit: Unit) -> str:
    if used is None:
        return "not known"
    return quantity_text(used, unit) if used else "none told"


def _quantity(quantity: float | None, unit: Unit) -> str:
    return NOTHING if quantity is None else quantity_text(quantity, unit)


def _properties(lot: Lot) -> Iterator[str]:
    if lot.density_g_per_ml is not None:
        yield quantity_text(lot.density_g_per_ml, "g/ml")
    if lot.active_oxygen_pct is not None:
        yield f"active oxygen {quantity_text(lot.active_oxygen_pct, '%')}"


def balance_of(source: PackSource, lot: Lot) -> Balance:
    """The book of a lot.

    What was weighed out for an area and stage counts; where nothing was, the mixes stand in, as in
    the assessment of consumption.
    """
    lot = _with_density(source, lot)
    usages = [usage.body for usage in source.job.usages if usage.body.lot == lot.lot]
    weighed = {(usage.stage, usage.area) for usage in usages}
    masses = [_in_unit(usage.used, usage.unit, lot) for usage in usages]
    masses += [
        mass
        for mix in source.job.mixes
        if (mix.body.stage, mix.body.area) not in weighed
        for mass in _mixed(mix.body, lot)
    ]
    wasted = [_in_unit(u.wasted, u.unit, lot) for u in usages if u.wasted is not None]
    return Balance(
        bought=lot.quantity,
        used=None if None in masses else sum(mass for mass in masses if mass is not None),
        wasted=sum(waste for waste in wasted if waste is not None) if wasted else None,
    )


def _with_density(source: PackSource, lot: Lot) -> Lot:
    """A catalyst whose lot gives no density has the specification's, as in the assessment."""
    if lot.density_g_per_ml is not None or lot.material is not Material.CATALYST:
        return lot
    return replace(lot, density_g_per_ml=source.specification.figures.catalyst_g_per_ml.value)


def _mixed(mix: Mix, lot: Lot) -> Iterator[float | None]:
    """What a mix took from the lot, in the lot's unit."""
    if mix.lot == lot.lot:
        yield _in_unit(mix.kg, Unit.KG, lot)
    if mix.catalyst_lot == lot.lot:
        yield _in_unit(mix.catalyst_ml / 1000, Unit.L, lot)


def _in_unit(quantity: float, unit: Unit, lot: Lot) -> float | None:
    """A quantity in the unit of a lot; None where it cannot be turned into it."""
    if unit is lot.unit:
        return quantity
    density = lot.density_g_per_ml
    if density is None:
        return None
    if (unit, lot.unit) == (Unit.L, Unit.KG):
        return quantity * density
    return quantity / density if (unit, lot.unit) == (Unit.KG, Unit.L) else None

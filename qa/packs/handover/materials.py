"""What the roof is made of: every batch by its number, and how much of it lies on each m²."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from qa.assess.consumption import LAMINATE, TOPCOAT, laid_on
from qa.assess.finding import Finding
from qa.packs.chapters import Chapter
from qa.packs.handover import plain_words as plain
from qa.packs.source import PackSource
from qa.record.kinds.supplies import Lot, Unit
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import number_text
from qa.trade.vocabulary import Material, Stage

_MATERIALS: Mapping[Material, str] = {
    Material.RESIN: "Resin",
    Material.TOPCOAT: "Topcoat",
    Material.CATALYST: "Hardener",
    Material.MAT: "Glass-fibre mat",
    Material.BANDAGE: "Glass-fibre strip",
    Material.ADHESIVE: "Adhesive",
    Material.SOLVENT: "Cleaning solvent",
    Material.BOARD: "Boards",
}
_UNITS: Mapping[Unit, str] = {
    Unit.KG: "kg",
    Unit.L: "litres",
    Unit.M2: "m²",
    Unit.M: "m",
    Unit.PIECE: "pieces",
}
_LAID: Mapping[str, tuple[Stage, str]] = {
    LAMINATE: (Stage.LAMINATE, "resin in the glass-fibre layer"),
    TOPCOAT: (Stage.TOPCOAT, "topcoat"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRow:
    """One batch as it came to the job."""

    material: str
    product: str
    batch: str
    use_by: str
    bought: str
    stages: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRow:
    """How much of a material lies on an area, against what should.

    Attributes:
        laid: mass and area, with their units.
        rate, asked: kg per m².
    """

    area: str
    material: str
    laid: str
    rate: str
    asked: str
    mark: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialsContext:
    """What the chapter shows.

    Attributes:
        added_up: whether any quantity was added up from the mixes, as nobody weighed it.
    """

    lots: tuple[LotRow, ...]
    laid: tuple[LaidRow, ...]
    added_up: bool


def materials_chapter(source: PackSource) -> Chapter:
    """The chapter on batches and quantities."""
    laid = tuple(_laid_rows(source))
    context = MaterialsContext(
        lots=tuple(_lot_row(source, lot.body) for lot in source.job.lots),
        laid=laid,
        added_up=any(
            not (found := laid_on(source.frame, stage, area)).is_weighed and found.kg is not None
            for stage, _ in _LAID.values()
            for area in source.frame.areas
        ),
    )
    return Chapter(
        key="materials",
        title="What the roof is made of",
        template="packs/handover/materials.html",
        context=context,
    )


def _lot_row(source: PackSource, lot: Lot) -> LotRow:
    return LotRow(
        material=_MATERIALS[lot.material],
        product=lot.product,
        batch=lot.batch_number,
        use_by=source.day_text(lot.use_by) if lot.use_by else "not recorded",
        bought=f"{number_text(lot.quantity)} {_UNITS[lot.unit]}",
        stages=_stages_of(source, lot.lot),
    )


def _stages_of(source: PackSource, lot: str) -> str:
    """The stages that name the batch; a batch that none names says so."""
    job = source.job
    named = {mix.body.stage for mix in job.mixes if lot in (mix.body.lot, mix.body.catalyst_lot)}
    named |= {usage.body.stage for usage in job.usages if usage.body.lot == lot}
    rules = source.specification.stages
    return ", ".join(rule.title for rule in rules if rule.stage in named) or "not recorded"


def _laid_rows(source: PackSource) -> Iterator[LaidRow]:
    for area in source.frame.areas.values():
        for check, (stage, material) in _LAID.items():
            found = _whole_area(source, check, area.body.area)
            if found is None:
                continue
            kg = laid_on(source.frame, stage, area.body.area).kg
            standing = plain.said_to_owner(found)
            has_rate = kg is not None and found.value is not None
            yield LaidRow(
                area=area.body.name,
                material=material,
                laid=_on(kg or 0.0, area.laid_m2) if has_rate else "not recorded",
                rate=number_text(found.value or 0.0, 3) if has_rate else "–",
                asked=plain.owner_limits(Limits(lower=found.lower, upper=found.upper), None),
                mark=standing.mark,
                word=standing.word,
            )


def _on(kg: float, laid_m2: float) -> str:
    return f"{number_text(kg, 3)} kg on {number_text(laid_m2, 3)} m²"


def _whole_area(source: PackSource, check: str, area: str) -> Finding | None:
    """The finding on the whole of an area, not on a group of its bays."""
    whole = [
        found
        for found in source.assessment.findings
        if found.check == check
        and found.area == area
        and found.subject is None
        and found.bay is None
        and found.verdict is not Verdict.NOT_APPLICABLE
    ]
    return whole[-1] if whole else None

"""Everything that is proposed for the next mix: material, dose, temperature, mass, bays.

All of it comes from the record and the specification; whoever mixes may change each of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import floor

from qa.assess.frame import LaidArea
from qa.record.job import Job, Recorded
from qa.record.kinds.supplies import Lot, Mix
from qa.services.deck_looks import DeckLooks, deck_looks
from qa.services.dosing import Dosed
from qa.services.examining import laid_areas
from qa.services.remembering import last_recorded
from qa.specification.model import SourcedChart, Specification
from qa.trade.consumption import expected_laminate_resin_kg_per_m2
from qa.trade.vocabulary import WET_STAGES, Material, Stage

STIR_BEFORE = "mix.stir_before"
STIR_AFTER = "mix.stir_after"
FIRST_MIX = "laminate.first_mix_area"
_MASSES_KG = (1.0, 2.0, 5.0, 10.0)
"""Masses offered at one touch; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayShare:
    """A bay that no mix of the stage names yet, and what it takes by the expected rate.

    Attributes:
        key: the bay's key.
        kg: expected mass, kg.
    """

    key: str
    kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MixTable:
    """What is proposed for a mix of one stage.

    Attributes:
        stage: what is mixed for.
        material: resin or topcoat.
        chart: the dose chart that holds, with its basis and source.
        areas: the areas by key and name.
        area: the one that is proposed, or None.
        lots: registered lots of the material.
        catalyst_lots: registered lots of catalyst.
        last: the last mix of the stage, by this person where they made one.
        looks: the last looks at the deck.
        masses_kg: masses offered at one touch.
        first_mix_kg: the largest first mix of the day, where the next mix is the first; or None.
        left: bays that no mix names yet, in order.
        stir_before_s, stir_after_s: least times of stirring.
    """

    stage: Stage
    material: Dosed
    chart: SourcedChart
    areas: tuple[tuple[str, str], ...]
    area: str | None
    lots: tuple[Lot, ...]
    catalyst_lots: tuple[Lot, ...]
    last: Mix | None
    looks: DeckLooks
    masses_kg: tuple[float, ...]
    first_mix_kg: float | None
    left: tuple[BayShare, ...]
    stir_before_s: float
    stir_after_s: float


def mix_stage(job: Job, in_hand: Stage | None) -> Stage:
    """The stage that the next mix is for: the one in hand, else the last one mixed for."""
    if in_hand in WET_STAGES:
        return in_hand
    mixed = [mix.body.stage for mix in job.mixes]
    return mixed[-1] if mixed else Stage.LAMINATE


def mix_table(
    job: Job,
    specification: Specification,
    stage: Stage,
    *,
    person: str,
    now: datetime,
    area: str | None = None,
) -> MixTable:
    """What is proposed for the next mix.

    Args:
        job: as it stands.
        specification: the one that it pins.
        stage: bandage, laminate or topcoat.
        person: key of the person who mixes.
        now: the time.
        area: the area that was chosen, or None for the one of the last mix.
    """
    is_topcoat = stage is Stage.TOPCOAT
    mixes = [mix for mix in job.mixes if mix.body.stage is stage]
    last = last_recorded(mixes, person)
    areas = laid_areas(job, specification)
    chosen = area if area in areas else _proposed_area(areas, last)
    material = Material.TOPCOAT if is_topcoat else Material.RESIN
    holds_h = specification.figures.reading_holds_h.value
    return MixTable(
        stage=stage,
        material=Dosed.TOPCOAT if is_topcoat else Dosed.RESIN,
        chart=specification.topcoat_dose if is_topcoat else specification.resin_dose,
        areas=tuple((key, laid.body.name) for key, laid in areas.items()),
        area=chosen,
        lots=_of_material(job, material),
        catalyst_lots=_of_material(job, Material.CATALYST),
        last=None if last is None else last.body,
        looks=deck_looks(job, stage, chosen, now=now, holds_h=holds_h),
        masses_kg=_MASSES_KG,
        first_mix_kg=_first_mix_kg(job, specification, mixes, areas, chosen, stage, now),
        left=tuple(_left(specification, mixes, areas, chosen, stage)),
        stir_before_s=specification.checks[STIR_BEFORE].limits.lower or 0.0,
        stir_after_s=_stir_after_s(specification, is_topcoat=is_topcoat),
    )


def bays_for(left: Sequence[BayShare], kg: float | None) -> tuple[str, ...]:
    """The next bays in order that a mass serves, at least one; none without a mass."""
    served: list[str] = []
    room_kg = kg or 0.0
    for share in left:
        if room_kg <= share.kg / 2:  # half a bay belongs to the next bucket
            break
        served.append(share.key)
        room_kg -= share.kg
    return tuple(served)


def _proposed_area(areas: Mapping[str, LaidArea], last: Recorded[Mix] | None) -> str | None:
    if last is not None and last.body.area in areas:
        return last.body.area
    return next(iter(areas), None)


def _of_material(job: Job, material: Material) -> tuple[Lot, ...]:
    return tuple(lot.body for lot in job.lots if lot.body.material is material)


def _stir_after_s(specification: Specification, *, is_topcoat: bool) -> float:
    if is_topcoat:
        return specification.figures.stir_after_topcoat_s.value
    return specification.checks[STIR_AFTER].limits.lower or 0.0


def _rate_kg_per_m2(specification: Specification, laid: LaidArea, stage: Stage) -> float | None:
    """What a square metre takes, where the specification says; bandage goes by length."""
    figures = specification.figures
    if stage is Stage.TOPCOAT:
        return figures.topcoat_kg_per_m2.value
    if stage is not Stage.LAMINATE:
        return None
    return expected_laminate_resin_kg_per_m2(
        mat_g_per_m2=laid.body.mat_g_per_m2,
        layers=laid.body.layers or 1,
        resin_to_glass=figures.resin_to_glass.value,
        deck_uptake_kg_per_m2=figures.deck_uptake_kg_per_m2.value,
    )


def _left(
    specification: Specification,
    mixes: Sequence[Recorded[Mix]],
    areas: Mapping[str, LaidArea],
    area: str | None,
    stage: Stage,
) -> Iterator[BayShare]:
    if area is None:
        return
    rate = _rate_kg_per_m2(specification, areas[area], stage)
    if rate is None:
        return
    named = {bay for mix in mixes if mix.body.area == area for bay in mix.body.bays or ()}
    for key, bay in areas[area].bays.items():
        if key not in named:
            yield BayShare(key=key, kg=bay.area_m2 * rate)


def _first_mix_kg(
    job: Job,
    specification: Specification,
    mixes: Sequence[Recorded[Mix]],
    areas: Mapping[str, LaidArea],
    area: str | None,
    stage: Stage,
    now: datetime,
) -> float | None:
    """The largest first mix of the day in the laminate, by weighing steps; None later."""
    limit_m2 = specification.checks[FIRST_MIX].limits.upper
    if stage is not Stage.LAMINATE or area is None or limit_m2 is None:
        return None
    today = now.astimezone(job.time_zone).date()
    if any(mix.at.astimezone(job.time_zone).date() == today for mix in mixes):
        return None
    step_kg = specification.planning.weighing_step_kg.value
    rate = _rate_kg_per_m2(specification, areas[area], stage) or 0.0
    return floor(limit_m2 * rate / step_kg + 1e-9) * step_kg

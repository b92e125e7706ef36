"""What was used against what should have been: kg per m², by area and by group of bays.

What left the container and was not wasted counts as laid. Where nobody weighed it, the mixes that
were made for the area stand in, and the finding says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea, grouped
from qa.assess.judging import finding
from qa.assess.recorded import Reading
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix, Unit, Usage
from qa.record.schema import Body
from qa.trade.conformity import Limits
from qa.trade.consumption import expected_laminate_resin_kg_per_m2, rate_kg_per_m2
from qa.trade.laminate import glass_fraction
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Material, Stage

LAMINATE = "laminate.consumption"
TOPCOAT = "topcoat.consumption"
GLASS = "laminate.glass_fraction"
FIRST_MIX = "laminate.first_mix_area"

_MATERIAL = {Stage.LAMINATE: Material.RESIN, Stage.TOPCOAT: Material.TOPCOAT}
_CHECK = {Stage.LAMINATE: LAMINATE, Stage.TOPCOAT: TOPCOAT}


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What was laid on an area.

    Attributes:
        kg: mass laid, or None where nothing tells it.
        on: the entries that tell it.
        is_weighed: whether it was weighed out for the area, not added up from mixes.
        remark: what a reader must know of how it was found.
    """

    kg: float | None
    on: tuple[Recorded[Body], ...]
    is_weighed: bool
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BayGroup:
    """Mixes that share bays, and the bays that they were laid on.

    Attributes:
        laid_m2: area of the bays on the slope, or None where a bay is not on the plan.
    """

    mixes: tuple[Recorded[Mix], ...]
    bays: tuple[str, ...]
    kg: float
    laid_m2: float | None

    @property
    def subject(self) -> str:
        """The keys of the mixes: "mix-4+mix-5"."""
        return "+".join(mix.body.mix for mix in self.mixes)


def judge_consumption(frame: Frame) -> Iterator[Finding]:
    """The findings on the rates of resin and topcoat and on the glass fraction."""
    for key, area in frame.areas.items():
        for stage in (Stage.LAMINATE, Stage.TOPCOAT):
            yield _judge_area(frame, stage, key, area)
            for group in bay_groups(frame, stage, key):
                yield from _judge_group(frame, stage, key, area, group)
        yield _judge_glass(frame, key, area)


def expected_kg_per_m2(frame: Frame, stage: Stage, area: LaidArea) -> float:
    """What should be laid on each m² of an area: resin or topcoat, kg."""
    figures = frame.specification.figures
    if stage is Stage.TOPCOAT:
        return figures.topcoat_kg_per_m2.value
    return expected_laminate_resin_kg_per_m2(
        mat_g_per_m2=area.body.mat_g_per_m2,
        layers=area.body.layers or 1,
        resin_to_glass=figures.resin_to_glass.value,
        deck_uptake_kg_per_m2=figures.deck_uptake_kg_per_m2.value,
    )


def accepted_kg_per_m2(frame: Frame, stage: Stage, area: LaidArea) -> Limits:
    """The accepted band about the expectation, kg/m²."""
    check = frame.specification.checks[_CHECK[stage]]
    if check.below_pct is None and check.above_pct is None:
        return check.limits
    expected = expected_kg_per_m2(frame, stage, area)
    return Limits.about(expected, below_pct=check.below_pct, above_pct=check.above_pct)


def laid_on(frame: Frame, stage: Stage, area: str) -> Laid:
    """What was laid on an area in a stage, weighed where it was weighed."""
    usages = frame.usages_of(stage, area, _MATERIAL[stage])
    mixes = frame.mixes_of(stage, area)
    mixed_kg = sum(mix.body.kg for mix in mixes)
    if not usages:
        remark = "Added up from the mixes, as nothing was weighed out for the area."
        kg = mixed_kg if mixes else None
        return Laid(kg=kg, on=tuple(mixes), is_weighed=False, remark=remark if mixes else "")
    masses = [_mass_kg(frame, usage.body) for usage in usages]
    if None in masses:
        remark = "Usage is recorded in a unit that cannot be turned into kg."
        return Laid(kg=None, on=tuple(usages), is_weighed=True, remark=remark)
    kg = sum(mass for mass in masses if mass is not None)
    remark = f"The mixes made for the area add up to {quantity_text(mixed_kg, 'kg')}."
    return Laid(kg=kg, on=tuple(usages), is_weighed=True, remark=remark if mixes else "")


def _mass_kg(frame: Frame, usage: Usage) -> float | None:
    """Mass laid of one usage, kg: what was used less what was wasted."""
    laid = usage.used - (usage.wasted or 0.0)
    if usage.unit is Unit.KG:
        return laid
    density = frame.lots[usage.lot].density_g_per_ml
    return laid * density if usage.unit is Unit.L and density is not None else None


def bay_groups(frame: Frame, stage: Stage, area: str) -> tuple[BayGroup, ...]:
    """The mixes of an area gathered into groups that share no bay with each other."""
    leader: dict[str, str] = {}
    placed = [mix for mix in frame.mixes_of(stage, area) if mix.body.bays]
    for mix in placed:
        first, *others = mix.body.bays or ()
        for bay in others:
            leader[_leader_of(leader, bay)] = _leader_of(leader, first)
    groups = grouped(placed, lambda mix: _leader_of(leader, (mix.body.bays or ("",))[0]))
    return tuple(_group(frame, area, mixes) for mixes in groups.values())


def _leader_of(leader: dict[str, str], bay: str) -> str:
    """The bay that stands for all bays known to be worked together with `bay`."""
    while leader.get(bay, bay) != bay:
        bay = leader[bay]
    return bay


def _group(frame: Frame, area: str, mixes: Sequence[Recorded[Mix]]) -> BayGroup:
    bays = {bay for mix in mixes for bay in mix.body.bays or ()}
    planned = frame.areas[area].bays
    known = all(bay in planned for bay in bays)
    return BayGroup(
        mixes=tuple(mixes),
        bays=tuple(sorted(bays, key=_bay_order)),
        kg=sum(mix.body.kg for mix in mixes),
        laid_m2=sum(planned[bay].area_m2 for bay in bays) if known else None,
    )


def _bay_order(bay: str) -> tuple[int, int]:
    row, number = bay[1:].split("b")
    return int(row), int(number)


def _judge_area(frame: Frame, stage: Stage, key: str, area: LaidArea) -> Finding:
    laid = laid_on(frame, stage, key)
    value = None if laid.kg is None else rate_kg_per_m2(laid.kg, area.laid_m2)
    remark = laid.remark
    if laid.kg is not None:
        remark = (
            f"{quantity_text(laid.kg, 'kg')} on {quantity_text(area.laid_m2, 'm2')}; expected "
            f"{quantity_text(expected_kg_per_m2(frame, stage, area), 'kg/m2')}. {laid.remark}"
        ).rstrip()
    return finding(
        frame,
        _CHECK[stage],
        stage=stage,
        area=key,
        value=value,
        limits=accepted_kg_per_m2(frame, stage, area),
        on=laid.on,
        remark=remark,
    )


def _judge_group(
    frame: Frame, stage: Stage, key: str, area: LaidArea, group: BayGroup
) -> Iterator[Finding]:
    if group.laid_m2 is None:
        return
    yield finding(
        frame,
        _CHECK[stage],
        stage=stage,
        area=key,
        bay=group.bays[0] if len(group.bays) == 1 else None,
        subject=group.subject,
        value=rate_kg_per_m2(group.kg, group.laid_m2),
        limits=accepted_kg_per_m2(frame, stage, area),
        on=group.mixes,
        remark=f"{quantity_text(group.kg, 'kg')} on bays {', '.join(group.bays)}, "
        f"{quantity_text(group.laid_m2, 'm2')}.",
    )


def _judge_glass(frame: Frame, key: str, area: LaidArea) -> Finding:
    """Glass fraction of the laminate, what the deck takes up set aside first."""
    laid = laid_on(frame, Stage.LAMINATE, key)
    uptake_kg = frame.specification.figures.deck_uptake_kg_per_m2.value * area.laid_m2
    if laid.kg is None or laid.kg <= uptake_kg:
        return finding(frame, GLASS, stage=Stage.LAMINATE, area=key, on=laid.on)
    glass_kg, on, remark = _glass(frame, key, area)
    return finding(
        frame,
        GLASS,
        stage=Stage.LAMINATE,
        area=key,
        value=glass_fraction(glass_kg=glass_kg, resin_kg=laid.kg - uptake_kg),
        on=(*laid.on, *on),
        remark=f"{quantity_text(glass_kg, 'kg')} of glass {remark}, "
        f"{quantity_text(laid.kg - uptake_kg, 'kg')} of resin after a deck uptake of "
        f"{quantity_text(uptake_kg, 'kg')}.",
    )


def _glass(
    frame: Frame, key: str, area: LaidArea
) -> tuple[float, tuple[Recorded[Usage], ...], str]:
    """Mass of glass on an area: from the mat that was used, else from mat weight and area."""
    usages = frame.usages_of(Stage.LAMINATE, key, Material.MAT)
    kg_per_m2 = area.body.mat_g_per_m2 / 1000
    masses = [
        (usage.body.used - (usage.body.wasted or 0.0))
        * (1.0 if usage.body.unit is Unit.KG else kg_per_m2)
        for usage in usages
        if usage.body.unit in (Unit.KG, Unit.M2)
    ]
    if usages and len(masses) == len(usages):
        return sum(masses), tuple(usages), "by the mat used"
    return kg_per_m2 * (area.body.layers or 1) * area.laid_m2, (), "by mat weight and area"


def judge_first_mixes(frame: Frame, measured: Sequence[Reading]) -> Iterator[Finding]:
    """The area of the first laminating mix of each day.

    Args:
        frame: the job laid out for judging.
        measured: the measurements of `laminate.first_mix_area`.
    """
    mixes = frame.mixes.get(Stage.LAMINATE, ())
    by_day = {frame.local_day(reading.on.at): reading for reading in measured}
    days = grouped(mixes, lambda mix: frame.local_day(mix.at))
    for day, of_day in days.items():
        first = of_day[0]
        reading = by_day.get(day)
        planned = frame.areas[first.body.area].bays
        bays = first.body.bays or ()
        on: tuple[Recorded[Body], ...] = (first,)
        value, remark = None, "Neither its bays nor its area are recorded."
        if reading is not None:
            value, remark, on = reading.value, "", (first, reading.on)
        elif bays and all(bay in planned for bay in bays):
            value = sum(planned[bay].area_m2 for bay in bays)
            remark = f"Bays {', '.join(bays)}."
        yield finding(
            frame,
            FIRST_MIX,
            stage=Stage.LAMINATE,
            area=first.body.area,
            subject=first.body.mix,
            value=value,
            on=on,
            remark=remark,
        )
    if not days:
        yield finding(frame, FIRST_MIX, stage=Stage.LAMINATE)

"""What was used against what should have been: kg per m², by area and by group of bays.

What left the container and was not wasted counts as laid. Where nobody weighed it, the mixes that
were made for the area stand in, and the finding says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea, grouped
from qa.assess.judging import finding
from qa.assess.stages import is_unsigned
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix, Unit, Usage
from qa.record.schema import Body
from qa.trade.conformity import Limits
from qa.trade.consumption import expected_laminate_resin_kg_per_m2, rate_kg_per_m2
from qa.trade.notation import quantity_text
from qa.trade.taped_area import bays_uncertainty_m2
from qa.trade.uncertainty import Measured, quotient, sum_of
from qa.trade.vocabulary import Material, Stage

LAMINATE = "laminate.consumption"
TOPCOAT = "topcoat.consumption"
GLASS = "laminate.glass_fraction"

_TOLD_SHARE = 0.005
"""A source that makes less of the squared uncertainty is not named."""

_MATERIAL = {Stage.LAMINATE: Material.RESIN, Stage.TOPCOAT: Material.TOPCOAT}
_CHECK = {Stage.LAMINATE: LAMINATE, Stage.TOPCOAT: TOPCOAT}


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What was laid on an area.

    Attributes:
        kg: mass laid, or None where nothing tells it.
        measured: the same with its uncertainty, or None where that is not known.
        on: the entries that tell it.
        is_weighed: whether it was weighed out for the area, not added up from mixes.
        remark: what a reader must know of how it was found.
    """

    kg: float | None
    measured: Measured | None
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
    """The findings on the rates of resin and topcoat."""
    for key, area in frame.areas.items():
        for stage in (Stage.LAMINATE, Stage.TOPCOAT):
            yield _judge_area(frame, stage, key, area)
            for group in bay_groups(frame, stage, key):
                yield from _judge_group(frame, stage, key, area, group)


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
        return Laid(
            kg=mixed_kg if mixes else None,
            measured=mixed(frame, mixed_kg, len(mixes)) if mixes else None,
            on=tuple(mixes),
            is_weighed=False,
            remark=remark if mixes else "",
        )
    masses = [_mass_kg(frame, usage.body) for usage in usages]
    if None in masses:
        remark = "Usage is recorded in a unit that cannot be turned into kg."
        return Laid(kg=None, measured=None, on=tuple(usages), is_weighed=True, remark=remark)
    remark = f"The mixes made for the area add up to {quantity_text(mixed_kg, 'kg')}."
    return Laid(
        kg=sum(mass for mass in masses if mass is not None),
        measured=weighed(frame, [usage.body for usage in usages]),
        on=tuple(usages),
        is_weighed=True,
        remark=remark if mixes else "",
    )


def mixed(frame: Frame, kg: float, mixes: int) -> Measured:
    """The mass of some mixes: weighed on one scale, so all of them are wrong together."""
    known = frame.known.of_mix.mass
    return Measured.expanded(kg, source=known.instrument, uncertainty=mixes * known.uncertainty)


def weighed(frame: Frame, usages: Iterable[Usage]) -> Measured | None:
    """The mass laid of what was weighed out, kg; None where how well is not known.

    Weighings of one instrument share its error. What was wasted is weighed apart: an error that
    it shared with the rest would make the mass laid better known, and nobody recorded that.
    """
    laid: list[Measured] = []
    for usage in usages:
        known = frame.known.mass(usage.instrument) if usage.unit is Unit.KG else None
        if known is None:
            return None
        scale, uncertainty = known.instrument, known.uncertainty
        laid.append(Measured.expanded(usage.used, source=scale, uncertainty=uncertainty))
        if usage.wasted:
            waste = f"{scale} at the waste"
            laid.append(Measured.expanded(-usage.wasted, source=waste, uncertainty=uncertainty))
    return sum_of(laid)


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
    bays = sorted({bay for mix in mixes for bay in mix.body.bays or ()}, key=_bay_order)
    planned = frame.areas[area].bays
    known = all(bay in planned for bay in bays)
    return BayGroup(
        mixes=tuple(mixes),
        bays=tuple(bays),
        kg=sum(mix.body.kg for mix in mixes),
        laid_m2=sum(planned[bay].area_m2 for bay in bays) if known else None,
    )


def taped_m2(area: LaidArea) -> Measured:
    """The laid area with the uncertainty of the tape that its outline was measured with, m²."""
    return Measured.expanded(
        area.laid_m2, source="tape by the specification", uncertainty=area.laid_uncertainty_m2
    )


def laid_bays_uncertainty_m2(frame: Frame, area: str, bays: Iterable[str]) -> float:
    """Expanded uncertainty of the area on the slope of planned bays, m², k = 2."""
    laid = frame.areas[area]
    edge_m = frame.specification.uncertainty.bay_edge_m.value
    of_plan_m2 = bays_uncertainty_m2((laid.bays[bay] for bay in bays), edge_uncertainty_m=edge_m)
    return of_plan_m2 * laid.roof.slope_factor


def shares_text(measured: Measured) -> str:
    """Which share of the uncertainty each source makes, as "scale 62 %, tape 38 %", in a sentence.

    The share is that of the squares, which add up; sources of less than half a per cent are left
    out.
    """
    shares = [
        f"{each.name} {100 * each.share:.0f} %"
        for each in measured.contributions
        if each.share >= _TOLD_SHARE
    ]
    return f"Uncertainty from {', '.join(shares)}." if shares else ""


def _bay_order(bay: str) -> tuple[int, int]:
    row, number = bay[1:].split("b")
    return int(row), int(number)


def _judge_area(frame: Frame, stage: Stage, key: str, area: LaidArea) -> Finding:
    laid = laid_on(frame, stage, key)
    value = None if laid.kg is None else rate_kg_per_m2(laid.kg, area.laid_m2)
    rate = None if laid.measured is None else quotient(laid.measured, taped_m2(area))
    remark = laid.remark
    if laid.kg is not None:
        remark = (
            f"{quantity_text(laid.kg, 'kg')} on {quantity_text(area.laid_m2, 'm2')}; expected "
            f"{quantity_text(expected_kg_per_m2(frame, stage, area), 'kg/m2')}. {laid.remark}"
        ).rstrip()
    if rate is not None:
        remark = f"{remark} {shares_text(rate)}"
    limits = accepted_kg_per_m2(frame, stage, area)
    if value is not None and not laid.is_weighed and is_unsigned(frame.job, stage):
        # Half an area laid is no starved one: until somebody signs, more may be mixed.
        value = None if value < (limits.lower or 0.0) else value
    return finding(
        frame,
        _CHECK[stage],
        stage=stage,
        area=key,
        value=value,
        expanded_uncertainty=None if rate is None else rate.expanded_uncertainty,
        limits=limits,
        on=laid.on,
        remark=remark,
    )


def _judge_group(
    frame: Frame, stage: Stage, key: str, area: LaidArea, group: BayGroup
) -> Iterator[Finding]:
    if group.laid_m2 is None:
        beyond = ", ".join(bay for bay in group.bays if bay not in area.bays)
        yield finding(
            frame,
            _CHECK[stage],
            stage=stage,
            area=key,
            subject=group.subject,
            limits=accepted_kg_per_m2(frame, stage, area),
            on=group.mixes,
            remark=f"Not on the bay plan: {beyond}; so the area that was laid is not known.",
        )
        return
    laid_m2 = Measured.expanded(
        group.laid_m2,
        source="edges of the bays by the specification",
        uncertainty=laid_bays_uncertainty_m2(frame, key, group.bays),
    )
    rate = quotient(mixed(frame, group.kg, len(group.mixes)), laid_m2)
    yield finding(
        frame,
        _CHECK[stage],
        stage=stage,
        area=key,
        bay=group.bays[0] if len(group.bays) == 1 else None,
        subject=group.subject,
        value=rate_kg_per_m2(group.kg, group.laid_m2),
        expanded_uncertainty=rate.expanded_uncertainty,
        limits=accepted_kg_per_m2(frame, stage, area),
        on=group.mixes,
        remark=f"{quantity_text(group.kg, 'kg')} on bays {', '.join(group.bays)}, "
        f"{quantity_text(group.laid_m2, 'm2')}. {shares_text(rate)}",
    )

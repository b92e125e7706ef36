"""The share of glass in the laminate, resin that the deck took up set aside first.

The uptake of the deck is a figure that the check is defined by, so it counts as exact for each
square metre; the area it is reckoned for does not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from qa.assess.consumption import GLASS, Laid, laid_on, shares_text, taped_m2, weighed
from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea
from qa.assess.judging import finding
from qa.assess.stages import is_unsigned
from qa.record.job import Recorded
from qa.record.kinds.supplies import Unit, Usage
from qa.trade.laminate import glass_fraction
from qa.trade.notation import quantity_text
from qa.trade.uncertainty import Measured, difference, product, quotient, sum_of
from qa.trade.vocabulary import Material, Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Glass:
    """The glass laid on an area.

    Attributes:
        measured: the same with its uncertainty, or None where that is not known.
        on: the entries that tell it.
        how: how it was found, for a sentence.
    """

    kg: float
    measured: Measured | None
    on: tuple[Recorded[Usage], ...]
    how: str


def judge_glass(frame: Frame) -> Iterator[Finding]:
    """The finding on the glass of every area."""
    for key, area in frame.areas.items():
        yield _judge_area(frame, key, area)


def _judge_area(frame: Frame, key: str, area: LaidArea) -> Finding:
    laid = laid_on(frame, Stage.LAMINATE, key)
    uptake_kg_per_m2 = frame.specification.figures.deck_uptake_kg_per_m2.value
    uptake_kg = uptake_kg_per_m2 * area.laid_m2
    if laid.kg is None or laid.kg <= uptake_kg:
        return finding(frame, GLASS, stage=Stage.LAMINATE, area=key, on=laid.on)
    glass = glass_on(frame, key, area)
    share = glass_fraction(glass_kg=glass.kg, resin_kg=laid.kg - uptake_kg)
    fraction = None
    if laid.measured is not None and glass.measured is not None:
        uptake = product(taped_m2(area), Measured(value=uptake_kg_per_m2))
        resin = difference(laid.measured, uptake)
        fraction = quotient(glass.measured, sum_of((glass.measured, resin)))
    remark = (
        f"{quantity_text(glass.kg, 'kg')} of glass {glass.how}, "
        f"{quantity_text(laid.kg - uptake_kg, 'kg')} of resin after a deck uptake of "
        f"{quantity_text(uptake_kg, 'kg')}."
    )
    return finding(
        frame,
        GLASS,
        stage=Stage.LAMINATE,
        area=key,
        value=None if _more_may_come(frame, laid, share) else share,
        expanded_uncertainty=None if fraction is None else fraction.expanded_uncertainty,
        on=(*laid.on, *glass.on),
        remark=remark if fraction is None else f"{remark} {shares_text(fraction)}",
    )


def _more_may_come(frame: Frame, laid: Laid, share: float) -> bool:
    """Whether too much glass says only that resin is still to be mixed for the area."""
    upper = frame.specification.checks[GLASS].limits.upper
    is_starved = upper is not None and share > upper
    return is_starved and not laid.is_weighed and is_unsigned(frame.job, Stage.LAMINATE)


def glass_on(frame: Frame, key: str, area: LaidArea) -> Glass:
    """The glass on an area: from the mat that was used, else from mat weight and area."""
    usages = frame.usages_of(Stage.LAMINATE, key, Material.MAT)
    bodies = [usage.body for usage in usages]
    mat = _mat_kg_per_m2(frame, area)
    if bodies and all(body.unit in (Unit.KG, Unit.M2) for body in bodies):
        kg = sum(
            (body.used - (body.wasted or 0.0)) * (1.0 if body.unit is Unit.KG else mat.value)
            for body in bodies
        )
        measured = _used(frame, bodies, mat)
        return Glass(kg=kg, measured=measured, on=tuple(usages), how="by the mat used")
    laid = product(taped_m2(area), mat)
    layers = area.body.layers or 1
    measured = product(laid, Measured(value=float(layers)))
    return Glass(kg=measured.value, measured=measured, on=(), how="by mat weight and area")


def _mat_kg_per_m2(frame: Frame, area: LaidArea) -> Measured:
    """Mass of a square metre of mat, with the specification's uncertainty."""
    kg_per_m2 = area.body.mat_g_per_m2 / 1000
    share = frame.specification.uncertainty.mat_pct.value / 100.0
    return Measured.expanded(
        kg_per_m2, source="mat by the specification", uncertainty=kg_per_m2 * share
    )


def _used(frame: Frame, usages: Sequence[Usage], mat: Measured) -> Measured | None:
    """The glass in the mat that was used, weighed or measured off the roll; None: not known."""
    in_kg = weighed(frame, (usage for usage in usages if usage.unit is Unit.KG))
    if in_kg is None:
        return None
    m2 = sum(usage.used - (usage.wasted or 0.0) for usage in usages if usage.unit is Unit.M2)
    return sum_of((in_kg, product(mat, Measured(value=m2))))

"""The roof as the drawings take it: areas with outlines, edges, openings, outlets and upstands."""

from __future__ import annotations

from markupsafe import Markup

from qa.assess.frame import LaidArea
from qa.assess.levels import plan_edges
from qa.packs.drawing.plan_area import Fall, PlanArea, PlanUpstand
from qa.packs.drawing.roof_plan import RoofPlan, draw_roof_plan
from qa.packs.falls import fall_of
from qa.packs.source import PackSource


def roof_plan(source: PackSource, *, height_mm: float) -> Markup:
    """The plan of the whole roof, to scale.

    Args:
        source: what the pack is made from.
        height_mm: height that the plans may take, mm; scale bar and notes come below.
    """
    studies = source.studies
    areas = tuple(
        plan_area(area, fall_of(studies[key].study) if key in studies else None)
        for key, area in source.frame.areas.items()
    )
    return draw_roof_plan(RoofPlan(areas=areas, height_mm=height_mm))


def plan_area(area: LaidArea, fall: Fall | None = None) -> PlanArea:
    """One area as the roof plan shows it."""
    body = area.body
    return PlanArea(
        name=body.name,
        roof=area.roof,
        edges=plan_edges(body.edges),
        outlets_m=body.outlets_m or (),
        upstands=tuple(
            PlanUpstand(length_m=upstand.length_m, height_m=upstand.height_m)
            for upstand in body.upstands or ()
        ),
        fall=fall,
    )

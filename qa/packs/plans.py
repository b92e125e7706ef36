"""The roof as the drawings take it: areas with outlines, edges, openings, outlets and upstands."""

from __future__ import annotations

from markupsafe import Markup

from qa.assess.frame import Frame, LaidArea
from qa.packs.drawing.roof_plan import PlanArea, PlanUpstand, RoofPlan, draw_roof_plan
from qa.trade.edge_matching import PlanEdge


def roof_plan(frame: Frame, *, height_mm: float) -> Markup:
    """The plan of the whole roof, to scale.

    Args:
        frame: the job laid out for judging.
        height_mm: height that the plans may take, mm; scale bar and notes come below.
    """
    areas = tuple(plan_area(area) for area in frame.areas.values())
    return draw_roof_plan(RoofPlan(areas=areas, height_mm=height_mm))


def plan_area(area: LaidArea) -> PlanArea:
    """One area as the roof plan shows it."""
    body = area.body
    return PlanArea(
        name=body.name,
        roof=area.roof,
        edges=tuple(
            PlanEdge(key=edge.edge, kind=edge.kind, length_m=edge.length_m) for edge in body.edges
        ),
        outlets_m=body.outlets_m or (),
        upstands=tuple(
            PlanUpstand(length_m=upstand.length_m, height_m=upstand.height_m)
            for upstand in body.upstands or ()
        ),
    )

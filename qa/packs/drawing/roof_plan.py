"""The roof plan: every area to scale, with its edges, dimensions, openings and outlets."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from qa.packs.drawing.area_drawing import AreaDrawing
from qa.packs.drawing.canvas import Canvas
from qa.packs.drawing.dimensions import DIMENSION_MM
from qa.packs.drawing.ink import SMALL, TEXT_WIDTH_MM
from qa.packs.drawing.plan_area import Fall, PlanArea, PlanUpstand
from qa.packs.drawing.sheet import (
    Margins,
    draw_heads,
    draw_notes,
    draw_scale_bar,
    lay_out_sheet,
)

__all__ = ["Fall", "PlanArea", "PlanUpstand", "RoofPlan", "draw_roof_plan"]

_MARGIN_MM = DIMENSION_MM + 2.4
_BY_ORDER = "Edges of equal length are placed in the order in which the record names them."


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofPlan:
    """All areas of a roof at one scale.

    Attributes:
        areas: in the order in which they are drawn.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
        height_mm: height that the plans may take, mm; bar and notes come below.
    """

    areas: tuple[PlanArea, ...]
    title: str = "Roof plan to scale"
    width_mm: float = TEXT_WIDTH_MM
    height_mm: float = 120.0


def draw_roof_plan(plan: RoofPlan) -> Markup:
    """Return the plan as SVG, at the largest usual scale at which all areas fit."""
    margins = Margins(left=_MARGIN_MM, right=_MARGIN_MM, top=_MARGIN_MM, bottom=_MARGIN_MM)
    roofs = [area.roof for area in plan.areas]
    sheet = lay_out_sheet(roofs, margins=margins, width_mm=plan.width_mm, height_mm=plan.height_mm)
    areas = "; ".join(f"{area.name}, {area.roof.net_area_m2:.1f} m²" for area in plan.areas)
    canvas = Canvas(
        width_mm=plan.width_mm,
        title=f"{plan.title}, 1:{sheet.scale}: {areas or 'no area is recorded'}.",
        description="Seen from above. Each side bears its length in metres and its kind of edge.",
    )
    if not plan.areas:
        return _without_areas(canvas)
    draw_heads(canvas, sheet, [(area.name, area.roof.net_area_m2) for area in plan.areas])
    notes: list[str] = []
    is_by_order = False
    for area, frame in zip(plan.areas, sheet.frames, strict=True):
        drawing = AreaDrawing(canvas, area, frame)
        if said := drawing.draw():
            notes.append(f"{area.name}: {'; '.join(said)}.")
        is_by_order |= drawing.is_by_order
    if is_by_order:
        notes.append(_BY_ORDER)
    bottom = draw_scale_bar(canvas, scale=sheet.scale, left=0.0, top=sheet.height_mm + 1.0)
    return canvas.markup(draw_notes(canvas, notes, top=bottom) + 0.5)


def _without_areas(canvas: Canvas) -> Markup:
    canvas.text("No area of the roof is recorded, so there is no plan.", (0.0, 4.0), SMALL)
    return canvas.markup(6.0)

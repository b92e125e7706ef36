"""The falls plan: contours of the surveyed top, which way it falls, and where water would stand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from qa.packs.drawing.canvas import Canvas, line
from qa.packs.drawing.falls_area import (
    CONTOUR,
    FallsPlanArea,
    cross,
    depth_text,
    draw_falls_area,
    draw_water,
    marked_places,
)
from qa.packs.drawing.hatching import ring_of
from qa.packs.drawing.ink import HAIRLINE, SMALL, TEXT_WIDTH_MM
from qa.packs.drawing.placing import Box
from qa.packs.drawing.scales import tick_text
from qa.packs.drawing.sheet import (
    Margins,
    draw_heads,
    draw_notes,
    draw_scale_bar,
    lay_out_sheet,
)

__all__ = ["FallsPlan", "FallsPlanArea", "draw_falls_plan"]

_MARGINS = Margins(left=3.0, right=3.0, top=2.4, bottom=3.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FallsPlan:
    """All surveyed areas at one scale.

    Attributes:
        areas: in the order in which they are drawn.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
        height_mm: height that the plans may take, mm; bar, key and notes come below.
    """

    areas: tuple[FallsPlanArea, ...]
    title: str = "Falls from surveyed levels"
    width_mm: float = TEXT_WIDTH_MM
    height_mm: float = 105.0


def draw_falls_plan(plan: FallsPlan) -> Markup:
    """Return the plan as SVG, at the largest usual scale at which all areas fit."""
    roofs = [area.roof for area in plan.areas]
    sheet = lay_out_sheet(roofs, margins=_MARGINS, width_mm=plan.width_mm, height_mm=plan.height_mm)
    said = "; ".join(_said(area) for area in plan.areas)
    canvas = Canvas(
        width_mm=plan.width_mm,
        title=f"{plan.title}, 1:{sheet.scale}: {said or 'no level is recorded'}.",
        description="Seen from above. Lines join places of one height; hatched water cannot drain.",
    )
    if not plan.areas:
        canvas.text("No level is recorded, so there are no contours.", (0.0, 4.0), SMALL)
        return canvas.markup(6.0)
    draw_heads(canvas, sheet, [(area.name, area.roof.net_area_m2) for area in plan.areas])
    notes: list[str] = []
    for area, frame in zip(plan.areas, sheet.frames, strict=True):
        if unsaid := draw_falls_area(canvas, area, frame):
            notes.append(f"{area.name}: {'; '.join(unsaid)}.")
    bottom = draw_scale_bar(canvas, scale=sheet.scale, left=0.0, top=sheet.height_mm + 1.0)
    bottom = _draw_key(canvas, plan.areas, bottom + 2.0)
    return canvas.markup(draw_notes(canvas, notes, top=bottom) + 0.5)


def _said(area: FallsPlanArea) -> str:
    fall = area.fall.text if area.fall else "level"
    hollows = f"{len(area.hollows)} hollow{'' if len(area.hollows) == 1 else 's'}"
    deepest = max((hollow.deepest_mm for hollow in area.hollows), default=0.0)
    depth = f", at most {depth_text(deepest)} deep" if area.hollows else ""
    return f"{area.name}, {fall}, {hollows} that cannot drain{depth}"


def _draw_key(canvas: Canvas, areas: Sequence[FallsPlanArea], top: float) -> float:
    """Draw what the marks mean, in a row of its own each; return where the next would begin, mm."""
    for swatch_of, words in _key(areas):
        swatch = Box(left=0.0, top=top, width=7.0, height=3.6)
        swatch_of(canvas, swatch)
        baseline = swatch.centre[1] + SMALL.cap_mm / 2.0
        canvas.text(words, (9.0, baseline), SMALL)
        top = baseline + 2.2
    return top


def _key(areas: Sequence[FallsPlanArea]) -> Iterator[tuple[Callable[[Canvas, Box], None], str]]:
    if any(area.contours for area in areas):
        steps = sorted({area.step_mm for area in areas if area.contours})
        every = " or ".join(tick_text(step) for step in steps)
        yield _contour_swatch, f"contour, every {every} mm; heights in mm above the survey’s datum"
    if any(marked_places(area) for area in areas):
        yield _level_swatch, "surveyed level"
    if any(area.hollows for area in areas):
        yield _water_swatch, "water that cannot drain, with its greatest depth"


def _contour_swatch(canvas: Canvas, box: Box) -> None:
    y = box.centre[1]
    canvas.stroke(line(((box.left, y), (box.right, y))), CONTOUR)


def _level_swatch(canvas: Canvas, box: Box) -> None:
    canvas.stroke(cross(box.centre), HAIRLINE)


def _water_swatch(canvas: Canvas, box: Box) -> None:
    draw_water(canvas, [ring_of(box)])

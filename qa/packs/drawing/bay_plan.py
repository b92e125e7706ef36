"""The bay plan: every bay with its key and how it stands, by pattern, mark and word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees

from markupsafe import Markup

from qa.packs.drawing.bay_labels import MarkedBay, label_bays
from qa.packs.drawing.bay_marks import BAY_WORDS, BayMark, draw_marks, draw_pattern
from qa.packs.drawing.canvas import Canvas, line, rectangle, turned_ring
from qa.packs.drawing.hatching import Ring, ring_of, spans_at
from qa.packs.drawing.ink import (
    HAIRLINE,
    LINE,
    LINE_MM,
    RULE,
    SMALL,
    SMALL_STRONG,
    TEXT_WIDTH_MM,
    TINT,
)
from qa.packs.drawing.lettering import broken_into_lines
from qa.packs.drawing.placing import Box
from qa.packs.drawing.sheet import (
    Margins,
    PlanFrame,
    Sheet,
    draw_heads,
    draw_scale_bar,
    lay_out_sheet,
)
from qa.packs.drawing.sides import box_of
from qa.trade.outline import RoofArea

__all__ = ["BayPlan", "BayPlanArea", "MarkedBay", "draw_bay_plan"]

_MARGINS = Margins(left=6.0, right=1.0, top=1.0, bottom=4.5)
_TURNED_MARGINS = Margins(left=6.0, right=6.0, top=6.0, bottom=6.0)
"""Numbers of turned bays may stand on any side."""

_KEY_MM = 50.0
_MOST_NAMED = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class BayPlanArea:
    """One area as the bay plan shows it.

    Attributes:
        name: its name, as people call it.
        roof: its outline, openings and slope.
        bays: all its bays, by row and number.
    """

    name: str
    roof: RoofArea
    bays: tuple[MarkedBay, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BayPlan:
    """The bays of all areas at one scale.

    Attributes:
        areas: in the order in which they are drawn.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
        height_mm: height that the plans may take, mm; bar and key come below.
    """

    areas: tuple[BayPlanArea, ...]
    title: str = "Bay plan"
    width_mm: float = TEXT_WIDTH_MM
    height_mm: float = 120.0


def draw_bay_plan(plan: BayPlan) -> Markup:
    """Return the plan as SVG, at the largest usual scale at which all areas fit."""
    roofs = [area.roof for area in plan.areas]
    is_turned = any(_is_turned(area) for area in plan.areas)
    margins = _TURNED_MARGINS if is_turned else _MARGINS
    sheet = lay_out_sheet(roofs, margins=margins, width_mm=plan.width_mm, height_mm=plan.height_mm)
    counts = ", ".join(f"{count} {BAY_WORDS[mark]}" for mark, count in _counts(plan.areas))
    canvas = Canvas(
        width_mm=plan.width_mm,
        title=f"{plan.title}, 1:{sheet.scale}: {counts or 'no bay is laid out'}.",
        description="Seen from above. Patterns and words show how each bay stands.",
    )
    if not plan.areas:
        canvas.text("No area of the roof is recorded, so there are no bays.", (0.0, 4.0), SMALL)
        return canvas.markup(6.0)
    draw_heads(canvas, sheet, [(area.name, area.roof.net_area_m2) for area in plan.areas])
    for area, frame in zip(plan.areas, sheet.frames, strict=True):
        _draw_area(canvas, area, frame)
    return canvas.markup(_draw_foot(canvas, plan, sheet))


def _is_turned(area: BayPlanArea) -> bool:
    """Return whether the strips of an area run at an angle to the sheet."""
    return any(_angle_deg([marked.bay.corners_m]) != 0.0 for marked in area.bays[:1])


def _draw_area(canvas: Canvas, area: BayPlanArea, frame: PlanFrame) -> None:
    outline = frame.ring(area.roof.outline)
    openings = [frame.ring(opening) for opening in area.roof.openings]
    rings = [outline, *openings]
    cells = [(marked, tuple(map(frame.at, marked.bay.corners_m))) for marked in area.bays]
    angle_deg = _angle_deg([cell for _, cell in cells])
    for mark in BayMark:
        own = [cell for marked, cell in cells if marked.mark is mark]
        draw_pattern(canvas, mark, rings, own)
    _draw_grid(canvas, rings, [cell for _, cell in cells], angle_deg)
    for opening in openings:
        canvas.fill(line(opening, is_closed=True), TINT)
        canvas.stroke(line(opening, is_closed=True), RULE)
    canvas.stroke(line(outline, is_closed=True), LINE)
    label_bays(canvas, rings, cells, angle_deg)


def _angle_deg(cells: Sequence[Ring]) -> float:
    """Return the way in which strips run on the sheet, degrees clockwise from level."""
    if not cells:
        return 0.0
    (x, y), (along_x, along_y) = cells[0][:2]
    return degrees(atan2(along_y - y, along_x - x))


def _draw_grid(
    canvas: Canvas, rings: Sequence[Ring], cells: Sequence[Ring], angle_deg: float
) -> None:
    """Draw the lines between bays, cut at the roof's edges and openings."""
    levelled = [turned_ring(ring, -angle_deg) for ring in rings]
    boxes = [box_of(turned_ring(cell, -angle_deg)) for cell in cells]
    levels = sorted({round(box.bottom, 6) for box in boxes})
    uprights = sorted({round(box.right, 6) for box in boxes})
    sideways = [[(y, x) for x, y in ring] for ring in levelled]
    parts = [
        line(turned_ring(((start, level), (end, level)), angle_deg))
        for level in levels
        for start, end in spans_at(levelled, level)
    ]
    parts += [
        line(turned_ring(((upright, start), (upright, end)), angle_deg))
        for upright in uprights
        for start, end in spans_at(sideways, upright)
    ]
    canvas.stroke("".join(parts), HAIRLINE)


def _draw_foot(canvas: Canvas, plan: BayPlan, sheet: Sheet) -> float:
    """Draw the scale bar and the key in words; return where they end, mm."""
    bottom = draw_scale_bar(canvas, scale=sheet.scale, left=0.0, top=sheet.height_mm + 1.0)
    top = bottom + 2.0
    for mark, count in _counts(plan.areas):
        swatch = Box(left=0.0, top=top, width=7.0, height=3.6)
        draw_pattern(canvas, mark, [ring_of(swatch)], [ring_of(swatch)])
        canvas.stroke(rectangle(swatch.left, swatch.top, swatch.width, swatch.height), HAIRLINE)
        draw_marks(canvas, mark, [swatch.centre], 0.95)
        named = "" if mark is BayMark.CLEAR else _named(plan.areas, mark)
        top = _write_row(canvas, f"{count} {BAY_WORDS[mark]}", named, top)
    if any(area.roof.openings for area in plan.areas):
        canvas.shape(rectangle(0.0, top, 7.0, 3.6), HAIRLINE, TINT)
        top = _write_row(canvas, "opening", "", top)
    return top


def _write_row(canvas: Canvas, words: str, named: str, top: float) -> float:
    """Write one row of the key and the keys of its bays; return where the next begins, mm."""
    baseline = top + 1.8 + SMALL.cap_mm / 2.0
    canvas.text(words, (9.0, baseline), SMALL_STRONG)
    lines = broken_into_lines(named, canvas.width_mm - _KEY_MM, SMALL)
    for index, text in enumerate(lines):
        canvas.text(text, (_KEY_MM, baseline + index * LINE_MM), SMALL)
    return baseline + max(len(lines) - 1, 0) * LINE_MM + 2.0


def _counts(areas: Sequence[BayPlanArea]) -> tuple[tuple[BayMark, int], ...]:
    """Return how many bays bear each mark, those marks only that occur."""
    counts = Counter(marked.mark for area in areas for marked in area.bays)
    return tuple((mark, counts[mark]) for mark in BayMark if counts[mark])


def _named(areas: Sequence[BayPlanArea], mark: BayMark) -> str:
    """Return the keys of the bays that bear a mark; of several areas, each under its name."""
    parts: list[str] = []
    room = _MOST_NAMED
    for area in areas:
        keys = [marked.bay.key for marked in area.bays if marked.mark is mark]
        if not keys:
            continue
        name = f"{area.name} " if len(areas) > 1 else ""
        more = f" and {len(keys) - room} more" if len(keys) > room else ""
        parts.append(f"{name}{', '.join(keys[:room])}{more}")
        room = max(room - len(keys), 1)
    return "; ".join(parts)

"""One sheet of plans: every area at one scale, side by side or below one another.

The areas of a roof have coordinates of their own, so they are not drawn as if their places towards
one another were known: each is a plan by itself under its own name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from qa.packs.drawing.canvas import Anchor, Canvas, Place, rectangle
from qa.packs.drawing.hatching import Ring
from qa.packs.drawing.ink import (
    HAIRLINE,
    HEADING,
    INK,
    LABEL_MUTED,
    LABEL_STRONG,
    LINE_MM,
    RULE,
    SMALL,
    SMALL_MUTED,
)
from qa.packs.drawing.lettering import broken_into_lines, cut_to_fit, width_mm
from qa.packs.drawing.placing import Box
from qa.packs.drawing.scales import plan_scales, round_step, tick_text
from qa.trade.outline import Bounds, Outline, RoofArea
from qa.trade.segments import Point

_HEAD_MM = 6.0
_GUTTER_MM = 4.0
_LEAST_CELL_MM = 42.0
_CROWDED = 1.8
"""Of very many areas, the sheet grows to this many times what their margins take."""

_BAR_STEP_MM = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFrame:
    """Where one area's plan lies on the sheet, and how metres become millimetres there.

    Attributes:
        scale: denominator of the scale: 75 for 1:75.
        bounds_m: the upright rectangle round the area, m.
        box: where that rectangle is drawn.
        cell: the part of the sheet that the plan may use, its margins included.
    """

    scale: int
    bounds_m: Bounds
    box: Box
    cell: Box

    def at(self, point_m: Point) -> Place:
        """Return where a place of the roof is drawn: y runs up the roof and down the sheet."""
        mm_per_m = 1000.0 / self.scale
        return (
            self.box.left + (point_m[0] - self.bounds_m.low_x_m) * mm_per_m,
            self.box.top + (self.bounds_m.high_y_m - point_m[1]) * mm_per_m,
        )

    def ring(self, outline: Outline) -> Ring:
        """Return the corners of an outline on the sheet."""
        return tuple(self.at(point) for point in outline.points_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Room round each plan for what is written beside it, mm."""

    left: float
    right: float
    top: float
    bottom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The frames of all areas and the height that they take, mm."""

    scale: int
    frames: tuple[PlanFrame, ...]
    height_mm: float


def lay_out_sheet(
    areas: Sequence[RoofArea], *, margins: Margins, width_mm: float, height_mm: float
) -> Sheet:
    """Return the areas at the largest scale at which all of them fit a sheet.

    Args:
        areas: the areas, in the order in which they are drawn.
        margins: round each of them.
        width_mm: width of the sheet, mm.
        height_mm: height that the plans may take, mm.
    """
    bounds = [area.outline.bounds_m for area in areas]
    room_mm = max(height_mm, _CROWDED * _bare_height_mm(len(areas), margins, width_mm))
    for scale in plan_scales():
        frames = _rows(bounds, scale=scale, margins=margins, width_mm=width_mm)
        if frames is not None:
            height = max((frame.cell.bottom for frame in frames), default=0.0)
            if height <= room_mm:
                return Sheet(scale=scale, frames=frames, height_mm=height)
    raise AssertionError("the scales have no end")


def _bare_height_mm(areas: int, margins: Margins, width_mm: float) -> float:
    """Return the height that the margins of so many areas take, were the areas points."""
    columns = max(int((width_mm + _GUTTER_MM) / (_LEAST_CELL_MM + _GUTTER_MM)), 1)
    rows = -(-areas // columns)
    return rows * (_HEAD_MM + margins.top + margins.bottom + _GUTTER_MM)


def _rows(
    bounds: Sequence[Bounds], *, scale: int, margins: Margins, width_mm: float
) -> tuple[PlanFrame, ...] | None:
    """Set the plans into rows as words into lines; None where one is wider than the sheet."""
    frames: list[PlanFrame] = []
    left = top = row_height = 0.0
    for area in bounds:
        width, height = area.length_m * 1000.0 / scale, area.height_m * 1000.0 / scale
        cell_width = max(width + margins.left + margins.right, min(_LEAST_CELL_MM, width_mm))
        if cell_width > width_mm:
            return None
        if left and left + cell_width > width_mm:
            left, top, row_height = 0.0, top + row_height + _GUTTER_MM, 0.0
        cell_height = _HEAD_MM + margins.top + height + margins.bottom
        frames.append(
            PlanFrame(
                scale=scale,
                bounds_m=area,
                box=Box(
                    left=left + margins.left,
                    top=top + _HEAD_MM + margins.top,
                    width=width,
                    height=height,
                ),
                cell=Box(left=left, top=top, width=cell_width, height=cell_height),
            )
        )
        left += cell_width + _GUTTER_MM
        row_height = max(row_height, cell_height)
    return tuple(frames)


def area_text(area_m2: float) -> str:
    """Return an area as it is written on a plan.

    >>> area_text(27.34), area_text(0.96)
    ('27.3 m²', '0.96 m²')
    """
    return f"{area_m2:.1f} m²" if area_m2 >= 10.0 else f"{area_m2:.2f} m²"


def draw_heads(canvas: Canvas, sheet: Sheet, heads: Sequence[tuple[str, float]]) -> None:
    """Write each area's name and net area over its plan."""
    for frame, (name, area_m2) in zip(sheet.frames, heads, strict=True):
        baseline = frame.cell.top + 3.2
        figure = area_text(area_m2)
        room = frame.cell.width - width_mm(figure, LABEL_MUTED) - 3.0
        shown = cut_to_fit(name, room, HEADING)
        canvas.text(shown, (frame.cell.left, baseline), HEADING)
        after = frame.cell.left + width_mm(shown, HEADING) + 2.0
        canvas.text(figure, (after, baseline), LABEL_MUTED)


def draw_scale_bar(canvas: Canvas, *, scale: int, left: float, top: float) -> float:
    """Draw the scale in words and as a bar of metres; return where it ends below, mm."""
    step_m = round_step(_BAR_STEP_MM * scale / 1000.0)
    step_mm = step_m * 1000.0 / scale
    words = f"1:{scale}"
    canvas.text(words, (left, top + 5.2), LABEL_STRONG)
    start = left + width_mm(words, LABEL_STRONG) + 5.0
    cells = 4 if step_mm * 4 <= 64.0 else 3
    for index in range(cells + 1):
        label = tick_text(step_m * index) + (" m" if index == cells else "")
        at = start + index * step_mm
        # The unit hangs beyond the bar's end, so that the figure stands at its tick.
        shift = width_mm(tick_text(step_m * index), SMALL) / 2.0
        canvas.text(label, (at - shift, top + 2.4), SMALL)
    for index in range(0, cells, 2):
        canvas.fill(rectangle(start + index * step_mm, top + 3.6, step_mm, 1.2), INK)
    canvas.stroke(rectangle(start, top + 3.6, step_mm * cells, 1.2), RULE)
    canvas.text(
        "Measured in plan; dimensions in metres.",
        (canvas.width_mm, top + 5.2),
        SMALL_MUTED,
        anchor=Anchor.END,
    )
    return top + 6.0


def draw_notes(canvas: Canvas, notes: Sequence[str], *, top: float) -> float:
    """Write notes over the whole width under a hairline; return where they end, mm."""
    if not notes:
        return top
    canvas.stroke(f"M0 {top + 1.5:g}H{canvas.width_mm:g}", HAIRLINE)
    baseline = top + 1.5
    for note in notes:
        for text in broken_into_lines(note, canvas.width_mm, SMALL):
            baseline += LINE_MM
            canvas.text(text, (0.0, baseline), SMALL)
    return baseline + 1.0

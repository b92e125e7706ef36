"""The arrow that shows which way water runs off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, radians, sin

from qa.packs.drawing.canvas import Canvas, Place, line
from qa.packs.drawing.hatching import Ring, spans_at
from qa.packs.drawing.ink import ACCENT, SMALL_ACCENT, TARGET
from qa.packs.drawing.lettering import width_mm
from qa.packs.drawing.placing import Box, LabelPlacer, box_round
from qa.packs.drawing.plan_area import Fall

_ARROWS_MM = (13.0, 9.0, 6.0)
"""Lengths of the arrow, the first that fits is drawn, mm."""


def draw_fall(
    canvas: Canvas,
    fall: Fall,
    rings: Sequence[Ring],
    frame: Box,
    placer: LabelPlacer,
    *,
    is_on_paper: bool = False,
) -> bool:
    """Draw an arrow downhill where the roof has room for it, as near to its middle as may be.

    Args:
        canvas: what is drawn on.
        fall: which way and how steeply.
        rings: outline and openings on the sheet.
        frame: the box round the outline.
        placer: what is taken already.
        is_on_paper: whether the ground under its words is cleared first.

    Returns:
        Whether there was room.
    """
    run = cos(radians(fall.direction_deg)), -sin(radians(fall.direction_deg))
    words_mm = width_mm(fall.text, SMALL_ACCENT) + 2.4
    for length in _ARROWS_MM:
        across, up = max(abs(run[0]) * length, 1.6), max(abs(run[1]) * length, 3.0)
        boxes = _boxes_inside(frame, across + words_mm, up)
        free = placer.first_free(box for box in boxes if _holds(rings, box))
        if free is not None:
            y = free.centre[1]
            _draw_arrow(canvas, (free.left + across / 2.0, y), run, length)
            start = free.left + across + 1.6, y + SMALL_ACCENT.cap_mm / 2.0
            canvas.text(fall.text, start, SMALL_ACCENT, on_paper=is_on_paper)
            return True
    return False


def _draw_arrow(canvas: Canvas, middle: Place, run: Place, length: float) -> None:
    half = length / 2.0
    tail = middle[0] - run[0] * half, middle[1] - run[1] * half
    tip = middle[0] + run[0] * half, middle[1] + run[1] * half
    neck = tip[0] - run[0] * 2.2, tip[1] - run[1] * 2.2
    canvas.stroke(line((tail, neck)), TARGET)
    wings = [(neck[0] - run[1] * side, neck[1] + run[0] * side) for side in (0.8, -0.8)]
    canvas.fill(line((tip, *wings), is_closed=True), ACCENT)


def _boxes_inside(frame: Box, width: float, height: float) -> Iterator[Box]:
    """Yield boxes all over a frame, those nearest to its middle first."""
    x, y = frame.centre
    steps = [step for far in range(6) for step in ({far, -far})]
    offsets = sorted(
        ((i, j) for i in steps for j in steps), key=lambda offset: offset[0] ** 2 + offset[1] ** 2
    )
    for i, j in offsets:
        yield box_round((x + i * frame.width / 12.0, y + j * frame.height / 12.0), width, height)


def _holds(rings: Sequence[Ring], box: Box) -> bool:
    """Return whether a box lies wholly on the roof, judged by lines across it."""
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        spans = spans_at(rings, box.top + share * box.height)
        if not any(start <= box.left and box.right <= end for start, end in spans):
            return False
    return True

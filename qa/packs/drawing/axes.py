"""Axes of charts: level grid lines with their figures, a foot line with its ticks, point marks."""

from __future__ import annotations

from collections.abc import Sequence

from qa.packs.drawing.canvas import Anchor, Canvas, Place, circle, diamond, line
from qa.packs.drawing.ink import GRID, LINE_MM, PAPER, RULE, SMALL, SMALL_MUTED, Lettering, Pen
from qa.packs.drawing.lettering import broken_into_lines
from qa.packs.drawing.placing import Box
from qa.packs.drawing.scales import Axis, tick_text

_TICK_MM = 1.2
DOT_MM = 0.75
"""Radius of the dot of a value, mm."""
DIAMOND_MM = 1.25
"""From centre to corner of the diamond of a value outside its limits, mm."""

_OUTSIDE = Pen(width_mm=0.45)


def draw_levels(canvas: Canvas, axis: Axis, plot: Box, *, apart_mm: float = 9.0) -> None:
    """Draw a level line over the plot at each round value, with its figure to the left."""
    ticks = axis.ticks(apart_mm)
    levels = (line(((plot.left, axis.at(value)), (plot.right, axis.at(value)))) for value in ticks)
    canvas.stroke("".join(levels), GRID)
    for value in ticks:
        place = plot.left - 1.4, axis.at(value) + SMALL.cap_mm / 2.0
        canvas.text(tick_text(value), place, SMALL, anchor=Anchor.END)


def draw_foot(canvas: Canvas, plot: Box, ticks: Sequence[tuple[float, str]]) -> None:
    """Draw the plot's foot line, with ticks at places along it and their figures below.

    Args:
        canvas: what is drawn on.
        plot: the plot.
        ticks: places in mm from the sheet's left edge, with what is written there.
    """
    foot = line(((plot.left, plot.bottom), (plot.right, plot.bottom)))
    marks = (line(((x, plot.bottom), (x, plot.bottom + _TICK_MM))) for x, _ in ticks)
    canvas.stroke(foot + "".join(marks), RULE)
    baseline = plot.bottom + _TICK_MM + 1.0 + SMALL.cap_mm
    for x, text in ticks:
        canvas.text(text, (x, baseline), SMALL, anchor=Anchor.MIDDLE)


def draw_dots(canvas: Canvas, places: Sequence[Place], *, is_hollow: bool = False) -> None:
    """Draw values as dots."""
    if is_hollow:
        canvas.shape("".join(circle(place, DOT_MM * 0.8) for place in places), RULE, PAPER)
    else:
        canvas.fill("".join(circle(place, DOT_MM) for place in places))


def draw_diamonds(canvas: Canvas, places: Sequence[Place]) -> None:
    """Draw values outside their limits: larger, hollow, heavier than the dots."""
    canvas.shape("".join(diamond(place, DIAMOND_MM) for place in places), _OUTSIDE, PAPER)


def draw_sentence(
    canvas: Canvas, text: str, place: Place, room_mm: float, lettering: Lettering = SMALL_MUTED
) -> float:
    """Write a sentence over as many lines as it needs; return the last baseline, mm."""
    x, baseline = place
    for index, words in enumerate(broken_into_lines(text, room_mm, lettering)):
        baseline = place[1] + LINE_MM * index
        canvas.text(words, (x, baseline), lettering)
    return baseline

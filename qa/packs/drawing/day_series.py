"""The lines of one day: deck, air and dew point, and the deck's margin over the dew point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from qa.packs.drawing.axes import draw_diamonds, draw_dots
from qa.packs.drawing.canvas import Canvas, Place, line, rectangle
from qa.packs.drawing.ink import (
    ACCENT,
    LINE,
    RULE,
    SMALL,
    SMALL_ACCENT,
    SMALL_STRONG,
    TARGET,
    Lettering,
    Pen,
)
from qa.packs.drawing.lettering import width_mm
from qa.packs.drawing.readings import Reading, TimedValue, unbroken_runs
from qa.packs.drawing.scales import Axis

_DECK = Pen(width_mm=0.45)
_DEW = Pen(width_mm=0.35, colour=ACCENT, dashes_mm=(1.4, 0.7))
_APART_MM = 2.9
"""Least distance between the names of two lines, mm."""


class _Mark(StrEnum):
    DOT = "dot"
    RING = "ring"
    SQUARE = "square"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Series:
    name: str
    values: tuple[TimedValue, ...]
    pen: Pen
    mark: _Mark
    lettering: Lettering


def draw_temperatures(
    canvas: Canvas, readings: Sequence[Reading], across: Axis, up: Axis, longest_gap_h: float
) -> None:
    """Draw the day's three temperatures, each named at its end."""
    series = (
        _Series(
            name="dew point",
            values=tuple((r.at, r.dew_point_c) for r in readings if r.dew_point_c is not None),
            pen=_DEW,
            mark=_Mark.SQUARE,
            lettering=SMALL_ACCENT,
        ),
        _Series(
            name="air",
            values=tuple((r.at, r.air_c) for r in readings if r.air_c is not None),
            pen=RULE,
            mark=_Mark.RING,
            lettering=SMALL,
        ),
        _Series(
            name="deck",
            values=tuple((r.at, r.deck_c) for r in readings if r.deck_c is not None),
            pen=_DECK,
            mark=_Mark.DOT,
            lettering=SMALL_STRONG,
        ),
    )
    ends: list[tuple[Place, _Series]] = []
    for one in series:
        places = _draw_runs(canvas, one.values, across, up, one.pen, longest_gap_h)
        _draw_series_marks(canvas, one.mark, places)
        if places:
            ends.append((places[-1], one))
    _name_ends(canvas, ends)


def _draw_runs(
    canvas: Canvas,
    values: Sequence[TimedValue],
    across: Axis,
    up: Axis,
    pen: Pen,
    longest_gap_h: float,
) -> list[Place]:
    """Draw a line that breaks where nothing was read for too long; return the values' places."""
    places: list[Place] = []
    for run in unbroken_runs(values, longest_gap_h):
        points = [(across.at(moment.timestamp()), up.at(value)) for moment, value in run]
        canvas.stroke(line(points), pen)
        places += points
    return places


def _draw_series_marks(canvas: Canvas, mark: _Mark, places: Sequence[Place]) -> None:
    if mark is _Mark.SQUARE:
        squares = (rectangle(x - 0.55, y - 0.55, 1.1, 1.1) for x, y in places)
        canvas.fill("".join(squares), ACCENT)
    else:
        draw_dots(canvas, places, is_hollow=mark is _Mark.RING)


def _name_ends(canvas: Canvas, ends: Sequence[tuple[Place, _Series]]) -> None:
    """Write each line's name after its last mark, names pushed apart where lines end together."""
    lowest = float("-inf")
    for (x, y), one in sorted(ends, key=lambda end: end[0][1]):
        level = max(y + one.lettering.cap_mm / 2.0, lowest + _APART_MM)
        canvas.text(one.name, (x + 1.6, level), one.lettering)
        lowest = level


def draw_margin(
    canvas: Canvas,
    readings: Sequence[Reading],
    across: Axis,
    up: Axis,
    *,
    limit_k: float,
    longest_gap_h: float,
) -> None:
    """Draw the deck's margin over the dew point with its limit; below it, values are written."""
    level = up.at(limit_k)
    canvas.stroke(line(((across.from_mm, level), (across.to_mm, level))), TARGET)
    words = f"least {limit_k:g} K"
    canvas.text(words, (across.to_mm + 1.2, level + SMALL.cap_mm / 2.0), SMALL_ACCENT)
    margins = [(r.at, r.dew_margin_k) for r in readings if r.dew_margin_k is not None]
    places = _draw_runs(canvas, margins, across, up, LINE, longest_gap_h)
    # A reading on the limit is within it; the tolerance is that of binary fractions.
    below = [value < limit_k - 1e-9 for _, value in margins]
    draw_dots(canvas, [place for place, is_low in zip(places, below, strict=True) if not is_low])
    low = [place for place, is_low in zip(places, below, strict=True) if is_low]
    draw_diamonds(canvas, low)
    _write_low(canvas, [(x, y, margins[i][1]) for i, (x, y) in enumerate(places) if below[i]], up)


def _write_low(canvas: Canvas, low: Sequence[tuple[float, float, float]], up: Axis) -> None:
    """Write the margins below the limit under their marks, or over them at the foot."""
    free_from = float("-inf")
    for x, y, value in low:
        text = f"{value:.1f}".replace("-", "−")
        half = width_mm(text, SMALL_STRONG) / 2.0
        below = y + 1.9 + SMALL.cap_mm
        level = below if below < up.from_mm else y - 1.9
        if x - half >= free_from:
            canvas.text(text, (x - half, level), SMALL_STRONG, on_paper=True)
            free_from = x + half + 0.8

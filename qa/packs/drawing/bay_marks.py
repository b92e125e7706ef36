"""How a bay stands, as a pattern, a mark of its own and words, so that it reads in one ink."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum

from qa.packs.drawing.canvas import Canvas, Place, circle, diamond, line
from qa.packs.drawing.hatching import Ring, hatching
from qa.packs.drawing.ink import DOTS, HATCH, LINE, PAPER, Pen


class BayMark(StrEnum):
    """How a bay stands when the pack is made, from best to worst."""

    CLEAR = "clear"
    """Examined, and clear the first time."""
    PUT_RIGHT = "put_right"
    """Repaired, and clear when examined again."""
    CONCEDED = "conceded"
    """Outside limits, and accepted in writing."""
    OPEN = "open"
    """Outside limits, and nothing done about it yet."""
    NOT_EXAMINED = "not_examined"
    """No examination is recorded."""


BAY_WORDS: Mapping[BayMark, str] = {
    BayMark.CLEAR: "examined, clear",
    BayMark.PUT_RIGHT: "repaired, clear after",
    BayMark.CONCEDED: "accepted as it is",
    BayMark.OPEN: "outside limits, open",
    BayMark.NOT_EXAMINED: "not examined",
}

SHORT_WORDS: Mapping[BayMark, str] = {
    BayMark.CLEAR: "clear",
    BayMark.PUT_RIGHT: "repaired",
    BayMark.CONCEDED: "accepted",
    BayMark.OPEN: "open",
    BayMark.NOT_EXAMINED: "unexamined",
}

_HEAVY_HATCH = Pen(width_mm=0.55)


def draw_pattern(
    canvas: Canvas, mark: BayMark, rings: Sequence[Ring], cells: Sequence[Ring]
) -> None:
    """Fill cells with a mark's pattern, as far as they lie inside what rings bound."""

    def fill(spacing_mm: float, angle_deg: float = -45.0) -> str:
        return "".join(
            hatching(rings, spacing_mm=spacing_mm, angle_deg=angle_deg, within=cell)
            for cell in cells
        )

    if mark is BayMark.PUT_RIGHT:
        canvas.stroke(fill(1.5), HATCH)
    elif mark is BayMark.CONCEDED:
        canvas.stroke(fill(2.2) + fill(2.2, 45.0), HATCH)
    elif mark is BayMark.OPEN:
        canvas.stroke(fill(1.9), _HEAVY_HATCH)
    elif mark is BayMark.NOT_EXAMINED:
        canvas.stroke(fill(1.3, 0.0), DOTS)


def draw_marks(canvas: Canvas, mark: BayMark, places: Sequence[Place], radius: float) -> None:
    """Draw a mark's own figure: a dot where all is clear, diamonds where it was not."""
    rings = "".join(diamond(place, radius) for place in places)
    if mark is BayMark.CLEAR:
        canvas.fill("".join(circle(place, radius * 0.55) for place in places))
    elif mark is BayMark.PUT_RIGHT:
        canvas.shape(rings, LINE, PAPER)
        canvas.fill("".join(circle(place, radius * 0.45) for place in places))
    elif mark is BayMark.CONCEDED:
        canvas.shape(rings, LINE, PAPER)
        bars = (line(((x - radius * 0.6, y), (x + radius * 0.6, y))) for x, y in places)
        canvas.stroke("".join(bars), LINE)
    elif mark is BayMark.OPEN:
        canvas.shape(rings, Pen(width_mm=0.55), PAPER)

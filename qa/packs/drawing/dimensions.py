"""Dimensions of a plan's sides: where there is room for them, and how they are drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from qa.packs.drawing.canvas import Anchor, Canvas, line, lines, turned
from qa.packs.drawing.edge_lines import EDGE_WORDS
from qa.packs.drawing.hatching import Ring
from qa.packs.drawing.ink import HAIRLINE, RULE, SMALL
from qa.packs.drawing.lettering import width_mm
from qa.packs.drawing.sides import Side, strips_meet
from qa.trade.vocabulary import EdgeKind

DIMENSION_MM = 5.2
"""From a side to its dimension line, mm."""

_STRIP_MM = DIMENSION_MM + 1.6


def draw_dimensions(canvas: Canvas, sides: Sequence[Side]) -> tuple[tuple[Side, ...], list[Ring]]:
    """Draw the dimension of every side that has room for one.

    A dimension stands outside the roof; where another part of the roof is in its way, as in a
    narrow notch, it stands on the roof.

    Args:
        canvas: what is drawn on.
        sides: all sides of one outline.

    Returns:
        The sides that had no room, and the strips that are taken.
    """
    left_out: list[Side] = []
    taken: list[Ring] = []
    for side in sides:
        text = fitting_text(side)
        strip = None
        for out_mm in (DIMENSION_MM, -DIMENSION_MM):
            reach = side.strip(0.1 if out_mm > 0 else -0.1, out_mm / DIMENSION_MM * _STRIP_MM)
            if text and _is_clear(reach, side, sides, taken):
                draw_dimension(canvas, side, text, out_mm)
                strip = reach
                break
        if strip is None:
            left_out.append(side)
        else:
            taken.append(strip)
    return tuple(left_out), taken


def _is_clear(strip: Ring, own: Side, sides: Sequence[Side], taken: Sequence[Ring]) -> bool:
    if any(strips_meet(strip, other) for other in taken):
        return False
    return not any(strips_meet(strip, side.strip(-0.05, 0.05)) for side in sides if side is not own)


def dimension_text(side: Side, *, with_kind: bool) -> str:
    """Return what stands at a side's dimension: its length in metres, and its edge in words."""
    figure = f"{side.length_m:.2f}"
    return f"{EDGE_WORDS[side.kind]} {figure}" if with_kind and side.kind else figure


def fitting_text(side: Side) -> str | None:
    """Return the longest text that its dimension line has room for, or None."""
    for with_kind in (True, False):
        text = dimension_text(side, with_kind=with_kind)
        if width_mm(text, SMALL) + (5.0 if with_kind else 2.4) <= side.length_mm:
            return text
    return None


def draw_dimension(canvas: Canvas, side: Side, text: str, out_mm: float) -> None:
    """Draw a side's dimension: line, extensions, a slanting tick at each end, words between.

    Args:
        canvas: what is drawn on.
        side: the side.
        text: words that the line has room for.
        out_mm: distance from the side, mm; negative lies on the roof.
    """
    length = side.length_mm
    sign = 1.0 if out_mm > 0.0 else -1.0
    near = sign * (2.4 if side.kind is EdgeKind.WALL_FILLET and sign > 0 else 1.5)
    half = width_mm(text, SMALL) / 2.0 + 0.8
    canvas.stroke(
        lines(
            [
                (side.at(0, near), side.at(0, out_mm + sign)),
                (side.at(length, near), side.at(length, out_mm + sign)),
                (side.at(0, out_mm), side.at(length / 2 - half, out_mm)),
                (side.at(length / 2 + half, out_mm), side.at(length, out_mm)),
            ]
        ),
        HAIRLINE,
    )
    canvas.stroke("".join(_ticks(side, out_mm)), RULE)
    x, y = side.at(length / 2.0, out_mm)
    angle = side.reading_deg
    # The baseline lies half a capital below the line, whichever way the words are turned.
    drop = turned((0.0, SMALL.cap_mm / 2.0), angle)
    canvas.text(text, (x + drop[0], y + drop[1]), SMALL, anchor=Anchor.MIDDLE, angle_deg=angle)


def _ticks(side: Side, out_mm: float) -> Iterator[str]:
    for along in (0.0, side.length_mm):
        yield line((side.at(along - 0.7, out_mm - 0.7), side.at(along + 0.7, out_mm + 0.7)))

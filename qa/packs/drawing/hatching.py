"""Hatching: parallel lines cut at the edges of what they fill.

Lines are cut here and not by the renderer: a pattern and a clip each cost it more than the lines
do, and are not drawn alike everywhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil

from qa.packs.drawing.canvas import Place, lines, turned
from qa.packs.drawing.placing import Box

Ring = tuple[Place, ...]

_MOST_LINES = 2000
"""A hatching of more lines would be a grey; its lines are then set further apart."""


def ring_of(box: Box) -> Ring:
    """Return the corners of a box."""
    return (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    )


def hatching(
    rings: Sequence[Ring],
    *,
    spacing_mm: float,
    angle_deg: float = -45.0,
    within: Ring | None = None,
) -> str:
    """Return the path of the parallel lines that fill what rings bound.

    Lines of one angle and spacing lie on one grid over the whole sheet, so that neighbours join.

    Args:
        rings: outlines; where they overlap, every second layer stays open.
        spacing_mm: from line to line, mm.
        angle_deg: of the lines, clockwise from level, degrees.
        within: a further ring outside which nothing is drawn.

    Source: scan lines and the even-odd rule.
    """
    levelled = [[turned(point, -angle_deg) for point in ring] for ring in rings]
    frame = [turned(point, -angle_deg) for point in within] if within else None
    heights = [y for ring in ([frame] if frame else levelled) for _, y in ring]
    if not heights:
        return ""
    low, high = min(heights), max(heights)
    spacing_mm = max(spacing_mm, (high - low) / _MOST_LINES)
    segments: list[tuple[Place, Place]] = []
    for index in range(ceil(low / spacing_mm), ceil(high / spacing_mm)):
        level = index * spacing_mm
        spans = spans_at(levelled, level)
        if frame is not None:
            spans = spans_in_both(spans, spans_at([frame], level))
        segments += [
            (turned((start, level), angle_deg), turned((end, level), angle_deg))
            for start, end in spans
        ]
    return lines(segments)


def spans_at(rings: Sequence[Sequence[Place]], level: float) -> list[tuple[float, float]]:
    """Return from where to where a level line lies inside rings, by the even-odd rule."""
    crossings: list[float] = []
    for ring in rings:
        for (x1, y1), (x2, y2) in pairwise((*ring, ring[0])):
            if (y1 > level) != (y2 > level):
                crossings.append(x1 + (x2 - x1) * (level - y1) / (y2 - y1))
    crossings.sort()
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def spans_in_both(
    some: Sequence[tuple[float, float]], others: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Return what two lists of spans have in common."""
    return [
        (max(start, low), min(end, high))
        for start, end in some
        for low, high in others
        if max(start, low) < min(end, high)
    ]

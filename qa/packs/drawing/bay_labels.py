"""What is written into the bays of a plan, and along its edges where the bays are too small."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from qa.packs.drawing.bay_marks import SHORT_WORDS, BayMark, draw_marks
from qa.packs.drawing.canvas import Anchor, Canvas, Place, rectangle, turned, turned_ring
from qa.packs.drawing.hatching import Ring, spans_at, spans_in_both
from qa.packs.drawing.ink import (
    LINE_MM,
    PAPER,
    SMALL,
    SMALL_MUTED,
    SMALL_STRONG,
    Lettering,
)
from qa.packs.drawing.lettering import width_mm
from qa.packs.drawing.placing import Box, box_round
from qa.packs.drawing.sides import box_of, is_upright
from qa.trade.bays import Bay

_MARK_MM = 2.6
_WORD_MM = 3.2
_LEAST_CELL_MM = 3.0
"""Bays drawn smaller than this carry their pattern alone."""

_SCANS = (0.01, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 7.99)
"""Levels at which a cell is looked at for roof, eighths of its height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedBay:
    """A bay and how it stands."""

    bay: Bay
    mark: BayMark


def label_bays(
    canvas: Canvas,
    rings: Sequence[Ring],
    cells: Sequence[tuple[MarkedBay, Ring]],
    angle_deg: float = 0.0,
) -> None:
    """Write key, mark and word into every bay that has room for them.

    Args:
        canvas: what is drawn on.
        rings: outline and openings on the sheet.
        cells: the bays and where their rectangles are drawn.
        angle_deg: way in which strips run on the sheet, degrees clockwise from level.
    """
    written = 0
    for mark in BayMark:
        places: list[Place] = []
        for marked, cell in cells:
            if marked.mark is not mark or _least_side_mm(cell) < _LEAST_CELL_MM:
                continue
            room = _room_in(rings, cell)
            if _has_room(marked, room):
                places.append(_write(canvas, marked, room))
                written += 1
            elif min(room.width, room.height) >= _MARK_MM:
                places.append(room.centre)
        draw_marks(canvas, mark, places, 0.95)
    if written < len(cells):
        _label_edges(canvas, rings[0], cells, angle_deg)


def _least_side_mm(cell: Ring) -> float:
    return min(dist(cell[0], cell[1]), dist(cell[1], cell[2]))


def _lettering(mark: BayMark) -> Lettering:
    return SMALL_STRONG if mark is BayMark.OPEN else SMALL


def _key_mm(marked: MarkedBay) -> float:
    """Return the width of a bay's key with its mark before it, mm."""
    mark_mm = 0.0 if marked.mark is BayMark.NOT_EXAMINED else _MARK_MM
    return mark_mm + width_mm(marked.bay.key, _lettering(marked.mark))


def _has_room(marked: MarkedBay, room: Box) -> bool:
    return _key_mm(marked) + 0.8 <= room.width and SMALL.cap_mm + 1.2 <= room.height


def _write(canvas: Canvas, marked: MarkedBay, room: Box) -> Place:
    """Write a key, and a word below it where one is called for; return the mark's place."""
    lettering = _lettering(marked.mark)
    word = "" if marked.mark is BayMark.CLEAR else SHORT_WORDS[marked.mark]
    if width_mm(word, lettering) + 1.0 > room.width or room.height < _WORD_MM * 2.0:
        word = ""
    below_mm = _WORD_MM if word else 0.0
    x, y = room.centre
    baseline = y + (lettering.cap_mm - below_mm) / 2.0
    key_mm = _key_mm(marked)
    if marked.mark is not BayMark.CLEAR:
        half = max(key_mm, width_mm(word, lettering)) / 2.0 + 0.4
        top = baseline - lettering.cap_mm - 0.7
        height = lettering.cap_mm + 1.4 + below_mm
        canvas.fill(rectangle(x - half, top, half * 2.0, height), PAPER)
    right = x + key_mm / 2.0
    canvas.text(marked.bay.key, (right, baseline), lettering, anchor=Anchor.END)
    canvas.text(word, (x, baseline + _WORD_MM), lettering, anchor=Anchor.MIDDLE)
    return x - key_mm / 2.0 + 1.0, baseline - lettering.cap_mm / 2.0


def _room_in(rings: Sequence[Ring], ring: Ring) -> Box:
    """Return a large upright rectangle of roof inside a bay, by scan lines across it."""
    cell = box_of(ring)
    if is_upright(ring) and not _is_cut(rings, cell):
        return cell
    step = cell.height / 8.0
    heights = [cell.top + step * n for n in _SCANS]
    levels = [spans_in_both(spans_at([ring], y), spans_at(rings, y)) for y in heights]
    best = Box(left=cell.left, top=cell.top, width=0.0, height=0.0)
    for first, spans in enumerate(levels):
        shared = spans
        for last in range(first, len(levels)):
            shared = spans_in_both(shared, levels[last])
            for start, end in shared:
                top, bottom = _SCANS[first] - 0.01, _SCANS[last] + 0.01
                box = Box(
                    left=start,
                    top=cell.top + step * top,
                    width=end - start,
                    height=step * (bottom - top),
                )
                if box.width * box.height > best.width * best.height:
                    best = box
    return best


def _is_cut(rings: Sequence[Ring], cell: Box) -> bool:
    """Return whether the roof's outline or an opening may run through a cell."""
    inner = box_round(cell.centre, cell.width - 0.01, cell.height - 0.01)
    return any(
        inner.meets(Box(left=min(x1, x2), top=min(y1, y2), width=abs(x2 - x1), height=abs(y2 - y1)))
        for ring in rings
        for (x1, y1), (x2, y2) in pairwise((*ring, ring[0]))
    )


def _label_edges(
    canvas: Canvas, outline: Ring, cells: Sequence[tuple[MarkedBay, Ring]], angle_deg: float
) -> None:
    """Write the rows' and the bays' numbers along the sides of the grid at which they begin.

    These are the left and the lower edge where strips run level, and turn with the strips.
    """
    frame = box_of(turned_ring(outline, -angle_deg))
    boxes = [(marked.bay, box_of(turned_ring(cell, -angle_deg))) for marked, cell in cells]
    rows = {f"r{bay.row}": box.centre[1] for bay, box in boxes}
    numbers = {f"b{bay.number}": box.centre[0] for bay, box in boxes}
    last = float("inf")
    for text, y in rows.items():
        if last - y >= LINE_MM * 0.85:
            _write_beside(canvas, text, (frame.left - 1.2, y), angle_deg, Anchor.END)
            last = y
    free = float("-inf")
    for text, x in sorted(numbers.items(), key=lambda label: label[1]):
        half = width_mm(text, SMALL_MUTED) / 2.0
        if x - half >= free:
            below = (x, frame.bottom + 1.2 + SMALL.cap_mm / 2.0)
            _write_beside(canvas, text, below, angle_deg, Anchor.MIDDLE)
            free = x + half + 1.2


def _write_beside(
    canvas: Canvas, text: str, middle: Place, angle_deg: float, anchor: Anchor
) -> None:
    """Write a number at the middle of its height; turned, about its own middle and level."""
    if angle_deg != 0.0:
        half = width_mm(text, SMALL_MUTED) / 2.0 if anchor is Anchor.END else 0.0
        middle = turned((middle[0] - half, middle[1]), angle_deg)
        anchor = Anchor.MIDDLE
    at = middle[0], middle[1] + SMALL.cap_mm / 2.0
    canvas.text(text, at, SMALL_MUTED, anchor=anchor)

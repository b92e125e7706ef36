"""Where the words beside a mark stand, and how they are broken into lines."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from functools import partial

from qa.photos.mark_sheet import At, Box, Sheet, box_round, settable
from qa.record.kinds.marks import Mark, MarkType

WIDEST = 0.46
"""Share of the picture's width that a line of words takes at most."""
MOST_LINES = 4
"""The record holds the rest."""
_GAP = 0.5
"""Between a mark and its words, as a share of the letters' height."""
_UPRIGHT = 1e-6
"""Part of a direction below which it is taken for none."""
_SAMPLES = 9
"""Places along a line that its own label must not cover."""


def in_lines(sheet: Sheet, words: str) -> tuple[str, ...]:
    """Words in as many lines as they need, and at most `MOST_LINES`."""
    room = WIDEST * sheet.size_px[0]
    lines: list[str] = []
    for word in settable(words).split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and sheet.words_px(joined) <= room:
            lines[-1] = joined
        else:
            lines.extend(_broken(sheet, word, room))
        if len(lines) > MOST_LINES:
            return (*lines[: MOST_LINES - 1], _cut(sheet, lines[MOST_LINES - 1], room))
    return tuple(lines)


def place_for(
    sheet: Sheet, mark: Mark, points: tuple[At, ...], size: tuple[float, float], taken: list[Box]
) -> At:
    """The centre of a label: the first place beside its mark that is free, else the first.

    Args:
        sheet: on which it is drawn; no label leaves the picture.
        mark: the mark.
        points: its points, px.
        size: of the label, px.
        taken: what other labels cover.
    """
    places = [_inside(sheet, place, size) for place in _places(sheet, mark, points, size)]
    own = tuple(_along(mark, points))
    for place in places:
        box = box_round(place, size)
        if not any(_overlap(box, other) for other in (*taken, *own)):
            return place
    return places[0]


def _along(mark: Mark, points: tuple[At, ...]) -> Iterator[Box]:
    """Places along the mark's own line, as boxes of no size."""
    if mark.type in (MarkType.TEXT, MarkType.CIRCLE):
        return
    (ax, ay), (bx, by) = points
    for number in range(_SAMPLES):
        share = number / (_SAMPLES - 1)
        x, y = ax + share * (bx - ax), ay + share * (by - ay)
        yield x, y, x, y


def _places(
    sheet: Sheet, mark: Mark, points: tuple[At, ...], size: tuple[float, float]
) -> Iterator[At]:
    gap = _GAP * sheet.letter_px + sheet.line_px
    if mark.type is MarkType.TEXT:
        yield points[0]
        return
    start, end = points
    if mark.type is MarkType.CIRCLE:
        yield from _round(start, end, size, gap)
        return
    length = math.dist(start, end)
    along = ((start[0] - end[0]) / length, (start[1] - end[1]) / length)
    across = (-along[1], along[0])
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    opposite = (-across[0], -across[1])
    back = (-along[0], -along[1])
    ends = (_beside(start, along, size, gap), _beside(end, back, size, gap))
    sides = tuple(_clear_of(middle, side, size, gap) for side in (across, opposite))
    yield from (ends[0], *sides) if mark.type is MarkType.ARROW else (*sides, *ends)


def _round(start: At, end: At, size: tuple[float, float], gap: float) -> Iterator[At]:
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    wide, high = abs(start[0] - end[0]) / 2, abs(start[1] - end[1]) / 2
    for edge, towards in (
        ((x, y + high), (0, 1)), ((x, y - high), (0, -1)),
        ((x + wide, y), (1, 0)), ((x - wide, y), (-1, 0)),
    ):  # fmt: skip
        yield _beside(edge, towards, size, gap)


def _beside(place: At, towards: At, size: tuple[float, float], gap: float) -> At:
    """The centre of a label whose side lies a gap from a place, in a direction of length 1."""
    away = min(
        (long / 2 + gap) / abs(part)
        for long, part in zip(size, towards, strict=True)
        if abs(part) > _UPRIGHT
    )
    return place[0] + away * towards[0], place[1] + away * towards[1]


def _clear_of(place: At, across: At, size: tuple[float, float], gap: float) -> At:
    """The centre of a label that lies wholly on one side of the line through a place."""
    away = (abs(across[0]) * size[0] + abs(across[1]) * size[1]) / 2 + gap
    return place[0] + away * across[0], place[1] + away * across[1]


def _inside(sheet: Sheet, place: At, size: tuple[float, float]) -> At:
    width, height = (
        min(max(at, long / 2), max(whole - long / 2, long / 2))
        for at, long, whole in zip(place, size, sheet.size_px, strict=True)
    )
    return width, height


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _broken(sheet: Sheet, word: str, room: float) -> Iterator[str]:
    """A word that is longer than a line, in pieces."""
    while sheet.words_px(word) > room and len(word) > 1:
        lengths = range(2, len(word))
        at = bisect_right(lengths, room, key=partial(_start_px, sheet, word))
        yield word[: at + 1]
        word = word[at + 1 :]
    yield word


def _start_px(sheet: Sheet, word: str, length: int) -> float:
    return sheet.words_px(word[:length])


def _cut(sheet: Sheet, line: str, room: float) -> str:
    while len(line) > 1 and sheet.words_px(f"{line}…") > room:
        line = line[:-1]
    return f"{line.rstrip()}…"

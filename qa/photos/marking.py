"""Draws marks upon a copy of a photograph: a copy and its marks in, a new copy out.

No original is ever drawn upon. The same copy and the same marks give the same bytes.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence

from PIL import Image

from qa.photos.decoding import decode
from qa.photos.mark_labels import in_lines, place_for
from qa.photos.mark_sheet import At, Box, Sheet, box_round
from qa.record.kinds.marks import Annotation, Mark, MarkType
from qa.record.marked import LabelledMark, labelled
from qa.trade.picture_scale import PictureShape

QUALITY = 90
"""JPEG quality: the copy was pressed once already, and thin letters show a second loss first."""
_HEAD = 5
"""Length of an arrow's head, and of the bars at the ends of a line, in widths of a line."""
_DASH = 4
"""Length of a dash and of the gap after it, in widths of a line."""


def marked_copy(copy: bytes, annotations: Sequence[Annotation], *, name: str) -> bytes:
    """A clean copy with marks drawn upon it.

    Args:
        copy: the clean copy, a whole JPEG.
        annotations: what is drawn, one over the other, in this order.
        name: of the photograph, for the error's sentence.

    Returns:
        A JPEG of the same size, with nothing in it but the picture.

    Raises:
        PhotoError: the copy cannot be decoded.
    """
    picture = decode(copy, name=name, long_edge_px=2**31).image.convert("RGB")
    shape = PictureShape(width=picture.width, height=picture.height)
    marks = [one for annotation in annotations for one in labelled(annotation, shape)]
    _lines(picture.size, [one.mark for one in marks]).laid_over(picture)
    _labels(picture.size, marks).laid_over(picture)
    return _jpeg(picture)


def places_px(mark: Mark, size_px: tuple[int, int]) -> tuple[At, ...]:
    """The points of a mark on a picture of a size, px."""
    return tuple((across * size_px[0], down * size_px[1]) for across, down in mark.points)


def _lines(size_px: tuple[int, int], marks: Sequence[Mark]) -> Sheet:
    sheet = Sheet(size_px)
    for mark in marks:
        places = places_px(mark, size_px)
        match mark.type:
            case MarkType.ARROW:
                _arrow(sheet, *places)
            case MarkType.CIRCLE:
                (ax, ay), (bx, by) = places
                sheet.ring((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
            case MarkType.MEASURE:
                _between_bars(sheet, *places, dashed=False)
            case MarkType.REFERENCE:
                _between_bars(sheet, *places, dashed=True)
    return sheet


def _labels(size_px: tuple[int, int], marks: Sequence[LabelledMark]) -> Sheet:
    sheet = Sheet(size_px)
    taken: list[Box] = []
    for one in marks:
        lines = in_lines(sheet, one.label)
        if not lines:
            continue
        size = sheet.plate_size(lines)
        centre = place_for(sheet, one.mark, places_px(one.mark, size_px), size, taken)
        taken.append(box_round(centre, size))
        sheet.plate(centre, lines)
    return sheet


def _arrow(sheet: Sheet, tail: At, tip: At) -> None:
    """A line from `tail` whose head points at `tip`."""
    length = math.dist(tail, tip)
    dx, dy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
    head = min(_HEAD * sheet.line_px, length)
    foot = (tip[0] - dx * head, tip[1] - dy * head)
    half = head / 2
    if length > head:
        sheet.line(tail, foot)
    sheet.solid(
        (
            tip,
            (foot[0] - dy * half, foot[1] + dx * half),
            (foot[0] + dy * half, foot[1] - dx * half),
        )
    )


def _between_bars(sheet: Sheet, start: At, end: At, *, dashed: bool) -> None:
    """A line with a short bar across each of its ends, as a drawing shows a length."""
    length = math.dist(start, end)
    dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    half = _HEAD * sheet.line_px / 2
    for first, last in _dashes(length, _DASH * sheet.line_px if dashed else length):
        sheet.line(
            (start[0] + dx * first, start[1] + dy * first),
            (start[0] + dx * last, start[1] + dy * last),
        )
    for x, y in (start, end):
        sheet.line((x - dy * half, y + dx * half), (x + dy * half, y - dx * half))


def _dashes(length: float, dash: float) -> Iterator[tuple[float, float]]:
    """Begins and ends of dashes along a length, with gaps as long as they are."""
    at = 0.0
    while at < length:
        yield at, min(at + dash, length)
        at += 2 * dash


def _jpeg(picture: Image.Image) -> bytes:
    picture.info = {}
    file = io.BytesIO()
    # As the clean copies: what every reader of PDF/A takes.
    picture.save(file, "JPEG", quality=QUALITY, subsampling="4:2:0")
    return file.getvalue()

"""A sheet as large as a picture, on which marks are drawn and which is then laid over it.

Everything is dark with a light edge, so that it can be seen on a white deck, on a black one, and on
a print without colours. The sheet is drawn at a multiple of its size and reduced, which makes the
edges smooth; its measures are shares of the picture, so that every copy shows the same drawing.
"""

from __future__ import annotations

import math
import unicodedata
from functools import cache
from pathlib import Path

from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw, ImageFont

OVERSAMPLE = 3
DARK = (17, 17, 17)
LIGHT = (255, 255, 255)
LINE = 0.005
"""Width of a line, as a share of the picture's longer edge: 8 px on a screen's copy."""
EDGE = 0.0025
"""Width of the light edge on each side of a line."""
LETTER = 0.03
"""Height of the letters' em."""
LEAST_LETTER_PX = 11.0
"""Below this no word can be read; small copies are drawn with larger letters than their share."""

FACE = Path(__file__).parents[1] / "static/vendor/source-sans-3.52.0/LaidtrueSans-Semibold.ttf"
_LEADING = 1.2

At = tuple[float, float]
"""A place on the picture, px from its left and from its upper edge."""
Box = tuple[float, float, float, float]
"""Left, top, right, bottom, px."""


class Sheet:
    """One layer of ink.

    Attributes:
        size_px: width and height of the picture.
        line_px, edge_px, letter_px: the widths and the height that belong to this size.
    """

    def __init__(self, size_px: tuple[int, int]) -> None:
        """An empty layer over a picture of `size_px`."""
        self.size_px = size_px
        longer = max(size_px)
        self.line_px = max(LINE * longer, 1.5)
        self.edge_px = max(EDGE * longer, 1.0)
        self.letter_px = max(LETTER * longer, LEAST_LETTER_PX)
        large = (size_px[0] * OVERSAMPLE, size_px[1] * OVERSAMPLE)
        self._masks = (Image.new("L", large), Image.new("L", large))
        self._light, self._dark = (ImageDraw.Draw(mask) for mask in self._masks)

    def line(self, start: At, end: At) -> None:
        """A line with round ends, whose middle runs from `start` to `end`."""
        _band(self._light, start, end, self.line_px + 2 * self.edge_px)
        _band(self._dark, start, end, self.line_px)

    def solid(self, corners: tuple[At, ...]) -> None:
        """A filled polygon."""
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
            _band(self._light, start, end, 2 * self.edge_px)
        self._light.polygon(_large(corners), fill=255)
        self._dark.polygon(_large(corners), fill=255)

    def ring(self, box: Box) -> None:
        """An ellipse; the middle of its line touches the sides of `box`."""
        for draw, width in (
            (self._light, self.line_px + 2 * self.edge_px),
            (self._dark, self.line_px),
        ):
            left, top, right, bottom = box
            half = width / 2
            around = [(left - half, top - half), (right + half, bottom + half)]
            draw.ellipse(_large(around), outline=255, width=round(width * OVERSAMPLE))

    def plate(self, centre: At, lines: tuple[str, ...]) -> None:
        """Lines of words, dark on a light plate."""
        left, top, right, bottom = box_round(centre, self.plate_size(lines))
        corner = self.letter_px * OVERSAMPLE / 4
        self._light.rounded_rectangle(
            _large([(left, top), (right, bottom)]), radius=corner, fill=255
        )
        face = _face(self.letter_px)
        for number, line in enumerate(lines):
            middle = top + self.letter_px * (_LEADING * (number + 0.5) + 0.2)
            ((x, y),) = _large([(left + self.letter_px * 0.4, middle)])
            self._dark.text((x, y), line, font=face, fill=255, anchor="lm")

    def plate_size(self, lines: tuple[str, ...]) -> tuple[float, float]:
        """Width and height of such a plate, px."""
        width = max(self.words_px(line) for line in lines)
        return width + 0.8 * self.letter_px, (_LEADING * len(lines) + 0.4) * self.letter_px

    def words_px(self, words: str) -> float:
        """Width of words, px."""
        return _face(self.letter_px).getlength(words) / OVERSAMPLE

    def laid_over(self, picture: Image.Image) -> None:
        """Lays the layer over a picture of its size."""
        for mask, ink in zip(self._masks, (LIGHT, DARK), strict=True):
            picture.paste(ink, mask=mask.reduce(OVERSAMPLE))


def box_round(centre: At, size: tuple[float, float]) -> Box:
    """The box of a size round its centre."""
    (x, y), (width, height) = centre, size
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def settable(words: str) -> str:
    """Words with each character that the face does not hold as its code point: [U+4E2D]."""
    return "".join(
        sign if ord(sign) in _covered() else f"[U+{ord(sign):04X}]"
        for sign in unicodedata.normalize("NFC", words)
    )


@cache
def _covered() -> frozenset[int]:
    with TTFont(FACE, lazy=True) as face:
        return frozenset(face.getBestCmap())


@cache
def _face(letter_px: float) -> ImageFont.FreeTypeFont:
    # The plain layout, which is the same on every machine.
    return ImageFont.truetype(FACE, letter_px * OVERSAMPLE, layout_engine=ImageFont.Layout.BASIC)


def _large(points: tuple[At, ...] | list[At]) -> list[At]:
    """Places on the picture as places on the mask: a pixel's middle stays its middle."""
    return [(x * OVERSAMPLE - 0.5, y * OVERSAMPLE - 0.5) for x, y in points]


def _band(draw: ImageDraw.ImageDraw, start: At, end: At, width: float) -> None:
    """A line of a width with round ends."""
    (ax, ay), (bx, by) = start, end
    length = math.hypot(bx - ax, by - ay)
    half = width / 2
    for x, y in (start, end):
        draw.ellipse(_large([(x - half, y - half), (x + half, y + half)]), fill=255)
    if length > 0:
        dx, dy = -(by - ay) / length * half, (bx - ax) / length * half
        sides = [(ax + dx, ay + dy), (bx + dx, by + dy), (bx - dx, by - dy), (ax - dx, ay - dy)]
        draw.polygon(_large(sides), fill=255)

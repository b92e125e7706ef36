"""How wide words are, and how they are cut or broken to fit.

The renderer sets SVG letter by letter and without kerning, so a word's width is the sum of its
letters' advances. Knowing them here lets a drawing keep labels apart before anything is rendered.
A letter that no shipped face holds is as wide as the code point in brackets that is set for it.
"""

from __future__ import annotations

import unicodedata

from qa.packs.drawing.ink import Lettering
from qa.packs.rendering.characters import settable

_REGULAR = (
    200, 289, 426, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350, 497, 497, 497,
    497, 497, 497, 497, 497, 497, 497, 249, 249, 497, 497, 497, 425, 847, 544, 588, 571, 615, 527,
    494, 617, 652, 263, 480, 579, 486, 727, 647, 664, 566, 664, 569, 534, 536, 645, 515, 786, 513,
    476, 539, 303, 350, 303, 497, 500, 542, 504, 553, 456, 555, 496, 292, 504, 544, 246, 247, 495,
    255, 829, 547, 542, 555, 555, 347, 419, 338, 544, 467, 719, 446, 467, 425, 303, 241, 303, 497,
)  # fmt: skip

_SEMIBOLD = (
    200, 315, 482, 513, 513, 841, 639, 275, 324, 324, 438, 513, 275, 322, 275, 344, 513, 513, 513,
    513, 513, 513, 513, 513, 513, 513, 275, 275, 513, 513, 513, 444, 875, 558, 597, 576, 625, 538,
    510, 628, 663, 282, 494, 597, 502, 745, 657, 674, 582, 674, 592, 545, 546, 655, 536, 800, 541,
    501, 540, 324, 344, 324, 513, 500, 549, 516, 563, 462, 564, 507, 317, 520, 558, 262, 263, 522,
    271, 843, 560, 549, 564, 564, 373, 431, 361, 556, 495, 748, 481, 495, 443, 324, 255, 324, 513,
)  # fmt: skip

_FIRST = 0x20
_OTHERS = {
    "\u00a0": (200, 200), "°": (331, 348), "²": (367, 372), "³": (367, 372), "·": (249, 275),
    "×": (497, 513), "–": (480, 480), "…": (948, 964), "−": (497, 513), "±": (497, 513),
    "‘": (249, 275), "’": (249, 275), "“": (426, 482), "”": (426, 482), "→": (619, 618),
}  # fmt: skip
_UNKNOWN = 600
"""Advance taken for a letter beyond the tables, thousandths of the size; few are wider."""


def width_mm(text: str, lettering: Lettering) -> float:
    """Return how wide a line of text is set.

    Args:
        text: one line.
        lettering: how it is set.

    Source: advance widths of the shipped faces, in thousandths of the size.
    """
    advances = _SEMIBOLD if lettering.is_semibold else _REGULAR
    total = 0
    for letter in settable(text):
        place = ord(letter) - _FIRST
        total += advances[place] if 0 <= place < len(advances) else _other(letter, lettering)
    return total * lettering.size_mm / 1000.0


def _other(letter: str, lettering: Lettering) -> int:
    known = _OTHERS.get(letter)
    return known[lettering.is_semibold] if known else _UNKNOWN


def cut_to_fit(text: str, room_mm: float, lettering: Lettering) -> str:
    """Return a text that is no wider than there is room for, cut with an ellipsis if need be.

    Args:
        text: one line.
        room_mm: the room, mm.
        lettering: how it is set.

    Returns:
        The text, its beginning with an ellipsis, or nothing where not even that fits.
    """
    if width_mm(text, lettering) <= room_mm:
        return text
    room_mm -= width_mm("…", lettering)
    kept = ""
    for letter in unicodedata.normalize("NFC", text):
        room_mm -= width_mm(letter, lettering)
        if room_mm < 0.0:
            break
        kept += letter
    return f"{kept.rstrip()}…" if kept else ""


def broken_into_lines(text: str, room_mm: float, lettering: Lettering) -> tuple[str, ...]:
    """Return a text as lines that fit a column, broken at spaces.

    Args:
        text: one paragraph.
        room_mm: width of the column, mm.
        lettering: how it is set.

    Returns:
        The lines; a single word that is too wide is cut with an ellipsis.
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and width_mm(longer, lettering) > room_mm:
            lines.append(line)
            longer = word
        line = cut_to_fit(longer, room_mm, lettering)
    return (*lines, line) if line else tuple(lines)

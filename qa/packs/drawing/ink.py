"""One ink, one accent, few pens and three sizes of lettering: the hand that all drawings share.

The figures repeat those of the packs' style sheet, because a drawing inside a page does not see it.
"""

from __future__ import annotations

from dataclasses import dataclass

FAMILY = "Laidtrue Sans"

INK = "#16191d"
MUTED = "#5a6066"
FAINT = "#b9bec3"
TINT = "#e1e7ec"
ACCENT = "#1d4d73"
PAPER = "#fff"

MM_PER_POINT = 25.4 / 72.0

TEXT_WIDTH_MM = 168.0
"""Width of the packs' text block, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """A line: its width, its colour, its dashes.

    Attributes:
        width_mm: width, mm.
        colour: colour as hexadecimal digits.
        dashes_mm: lengths of dash and gap in turn, mm; empty for a whole line.
        is_round: whether ends and joins are round; a dash of no length is then a dot.
    """

    width_mm: float
    colour: str = INK
    dashes_mm: tuple[float, ...] = ()
    is_round: bool = False


HAIRLINE = Pen(width_mm=0.12, colour=MUTED)
GRID = Pen(width_mm=0.1, colour=FAINT)
RULE = Pen(width_mm=0.2)
LINE = Pen(width_mm=0.35)
HEAVY = Pen(width_mm=0.6)
HATCH = Pen(width_mm=0.14)
DOTS = Pen(width_mm=0.4, dashes_mm=(0.0, 1.3), is_round=True)
TARGET = Pen(width_mm=0.5, colour=ACCENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """How words are set.

    Attributes:
        size_pt: size of the face, points as printed.
        colour: colour as hexadecimal digits.
        is_semibold: whether in the heavier of the two faces.
    """

    size_pt: float
    colour: str = INK
    is_semibold: bool = False

    @property
    def size_mm(self) -> float:
        """Size of the face, mm."""
        return self.size_pt * MM_PER_POINT

    @property
    def cap_mm(self) -> float:
        """Height of capitals and figures, mm: 0.66 of the size in both faces."""
        return 0.66 * self.size_mm


SMALL = Lettering(size_pt=6.5)
SMALL_MUTED = Lettering(size_pt=6.5, colour=MUTED)
SMALL_ACCENT = Lettering(size_pt=6.5, colour=ACCENT)
SMALL_STRONG = Lettering(size_pt=6.5, is_semibold=True)
LABEL = Lettering(size_pt=7.5)
LABEL_MUTED = Lettering(size_pt=7.5, colour=MUTED)
LABEL_STRONG = Lettering(size_pt=7.5, is_semibold=True)
HEADING = Lettering(size_pt=8.5, is_semibold=True)

LINE_MM = 3.3
"""From one line of small lettering to the next, mm."""

"""A small writer of SVG: lines, fills and words in millimetres, in the order they are drawn.

Strokes of one pen and fills of one colour that follow each other become one path, because the
renderer's time goes by elements. Words are always placed by their left end, which it sets fastest.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from enum import StrEnum
from math import cos, radians, sin

from markupsafe import Markup, escape

from qa.packs.drawing.ink import FAMILY, INK, PAPER, Lettering, Pen
from qa.packs.drawing.lettering import width_mm

Place = tuple[float, float]
"""A place on the sheet: mm from its left edge, mm from its top edge."""

_NO_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff\ud800-\udfff]")


class Anchor(StrEnum):
    """Which part of a text stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


_SHIFTS = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}


class Canvas:
    """A sheet that is drawn on.

    Args:
        width_mm: width of the sheet, mm.
        title: what the drawing shows, in one sentence; readers that cannot see it get this.
        description: what more there is to say, or nothing.
    """

    def __init__(self, *, width_mm: float, title: str, description: str = "") -> None:
        self.width_mm = width_mm
        self._title = title
        self._description = description
        self._elements: list[str] = []
        self._paint = ""
        self._data: list[str] = []

    def stroke(self, data: str, pen: Pen) -> None:
        """Draw a line along a path."""
        if data:
            self._add_path(_stroke(pen), data)

    def fill(self, data: str, colour: str = INK) -> None:
        """Fill a path."""
        if data:
            self._add_path(f'fill="{colour}"', data)

    def shape(self, data: str, pen: Pen, colour: str = PAPER) -> None:
        """Fill a path and draw a line round it."""
        if data:
            self._add_path(f"{_stroke(pen)}".replace('fill="none"', f'fill="{colour}"'), data)

    def text(
        self,
        text: str,
        place: Place,
        lettering: Lettering,
        *,
        anchor: Anchor = Anchor.START,
        angle_deg: float = 0.0,
        on_paper: bool = False,
    ) -> None:
        """Set one line of text with its baseline at a place.

        Args:
            text: any text; what SVG cannot hold is replaced.
            place: where the anchor stands, on the baseline.
            lettering: how it is set.
            anchor: which part of the text stands there.
            angle_deg: turned clockwise about the place, degrees.
            on_paper: whether the ground under it is cleared first.
        """
        text = " ".join(_NO_XML.sub("�", text).split())
        if not text:
            return
        x, y = place
        width = width_mm(text, lettering)
        left = x - width * _SHIFTS[anchor]
        if on_paper:
            top = y - lettering.cap_mm - 0.5
            self.fill(rectangle(left - 0.5, top, width + 1.0, lettering.cap_mm + 1.0), PAPER)
        self._flush()
        turned = f' transform="rotate({number(angle_deg)} {number(x)} {number(y)})"'
        self._elements.append(
            f'<text x="{number(left)}" y="{number(y)}"{_face(lettering)}'
            f"{turned if angle_deg else ''}>{escape(text)}</text>"
        )

    def markup(self, height_mm: float) -> Markup:
        """Return the sheet as SVG.

        The size stands in the `style` too, so that no page scales a drawing that is to scale.

        Args:
            height_mm: height of the sheet, mm.
        """
        self._flush()
        width, height = number(self.width_mm), number(height_mm)
        clean = _NO_XML.sub("�", self._title), _NO_XML.sub("�", self._description)
        described = f"<desc>{escape(clean[1])}</desc>" if self._description else ""
        return Markup(  # noqa: S704 - every word in it went through escape
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}" style="width:{width}mm;height:{height}mm" role="img" '
            f'font-family="{FAMILY},sans-serif" fill="{INK}">'
            f"<title>{escape(clean[0])}</title>{described}{''.join(self._elements)}</svg>"
        )

    def _add_path(self, paint: str, data: str) -> None:
        if paint != self._paint:
            self._flush()
            self._paint = paint
        self._data.append(data)

    def _flush(self) -> None:
        if self._data:
            self._elements.append(f'<path {self._paint} d="{"".join(self._data)}"/>')
        self._paint, self._data = "", []


def number(value: float) -> str:
    """Return a number as SVG text, to a thousandth, without needless zeros.

    >>> number(80.0), number(-0.0004), number(1.23456)
    ('80', '0', '1.235')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def line(points: Sequence[Place], *, is_closed: bool = False) -> str:
    """Return the path over points, or nothing for fewer than two."""
    if len(points) < 2:
        return ""
    joined = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{joined}{'Z' if is_closed else ''}"


def lines(segments: Iterable[tuple[Place, Place]]) -> str:
    """Return the path over separate straight lines."""
    return "".join(line(segment) for segment in segments)


def rectangle(left: float, top: float, width: float, height: float) -> str:
    """Return the path round a rectangle, mm."""
    x, y = number(left), number(top)
    return f"M{x} {y}H{number(left + width)}V{number(top + height)}H{x}Z"


def circle(centre: Place, radius: float) -> str:
    """Return the path round a circle, mm."""
    x, y = centre
    r = number(radius)
    left, right, level = number(x - radius), number(x + radius), number(y)
    return f"M{left} {level}A{r} {r} 0 1 1 {right} {level}A{r} {r} 0 1 1 {left} {level}Z"


def diamond(centre: Place, radius: float) -> str:
    """Return the path round a square that stands on a corner, mm from centre to corner."""
    x, y = centre
    corners = ((x, y - radius), (x + radius, y), (x, y + radius), (x - radius, y))
    return line(corners, is_closed=True)


def turned(point: Place, angle_deg: float) -> Place:
    """Return a place turned clockwise about the sheet's corner."""
    x, y = point
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return x * c - y * s, x * s + y * c


def turned_ring(points: Sequence[Place], angle_deg: float) -> tuple[Place, ...]:
    """Return places turned clockwise about the sheet's corner; by nothing, as they are."""
    return tuple(points) if angle_deg == 0.0 else tuple(turned(at, angle_deg) for at in points)


def _stroke(pen: Pen) -> str:
    dashes = " ".join(number(dash) for dash in pen.dashes_mm)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    ends = ' stroke-linecap="round" stroke-linejoin="round"' if pen.is_round else ""
    width = number(pen.width_mm)
    return f'fill="none" stroke="{pen.colour}" stroke-width="{width}"{ends}{dashed}'


def _face(lettering: Lettering) -> str:
    weight = ' font-weight="600"' if lettering.is_semibold else ""
    colour = "" if lettering.colour == INK else f' fill="{lettering.colour}"'
    return f' font-size="{number(lettering.size_mm)}"{weight}{colour}'

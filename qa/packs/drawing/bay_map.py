"""The bay map of a page: the outline to scale, each bay a place to touch, told without colour.

The plan of the packs is printed; this one is touched. It is drawn in pixels of the page, large
enough that a whole bay takes a thumb, in the ink of the page that it stands on (`currentColor`), so
that it reads in the sun and in the dark. Each bay bears its key, a letter and a pattern of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import dist

from markupsafe import Markup, escape

from qa.packs.drawing.canvas import Place, line, number
from qa.packs.drawing.hatching import Ring, hatching
from qa.trade.bays import Bay
from qa.trade.outline import Outline, RoofArea
from qa.trade.segments import Point

LEAST_TOUCH_PX = 56.0
"""Smaller bays are drawn but cannot be touched; the list beside the map names them all."""
_BAY_PX = 62.0
_LEAST_WIDTH_PX = 300.0
_MOST_PX_PER_M = 150.0
_MARGIN_PX = 4.0
_KEY_PX = 18.0
_LETTER_PX = 22.0


class Pattern(StrEnum):
    """What a bay is filled with."""

    BLANK = "blank"
    DOTS = "dots"
    LINES = "lines"
    CROSSED = "crossed"
    LEVEL = "level"
    UPRIGHT = "upright"


@dataclass(frozen=True, slots=True, kw_only=True)
class MapBay:
    """One bay of the map.

    Attributes:
        bay: where it is.
        letter: how it stands, in one letter, or nothing.
        words: the same in words.
        pattern: the same for the eye.
        address: of its page, or nothing where it cannot be touched.
    """

    bay: Bay
    letter: str
    words: str
    pattern: Pattern
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BayMap:
    """One area and its bays.

    Attributes:
        name: the area's name.
        roof: outline and openings.
        bays: by row and number.
    """

    name: str
    roof: RoofArea
    bays: tuple[MapBay, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """How metres become pixels: y runs up the roof and down the page."""

    low_x_m: float
    high_y_m: float
    px_per_m: float

    def at(self, point: Point) -> Place:
        return (
            _MARGIN_PX + (point[0] - self.low_x_m) * self.px_per_m,
            _MARGIN_PX + (self.high_y_m - point[1]) * self.px_per_m,
        )

    def ring(self, points: Sequence[Point]) -> Ring:
        return tuple(self.at(point) for point in points)


def draw_bay_map(plan: BayMap) -> Markup:
    """The map as SVG, for a box that scrolls; nothing where the area has no bay."""
    if not plan.bays:
        return Markup("")
    bounds = plan.roof.outline.bounds_m
    scale = _px_per_m(plan)
    frame = _Frame(low_x_m=bounds.low_x_m, high_y_m=bounds.high_y_m, px_per_m=scale)
    width = bounds.length_m * scale + 2 * _MARGIN_PX
    height = bounds.height_m * scale + 2 * _MARGIN_PX
    outlines = [plan.roof.outline, *plan.roof.openings]
    rings = [frame.ring(outline.points_m) for outline in outlines]
    bays = "".join(_bay(frame, rings, bay) for bay in plan.bays)
    return Markup(  # noqa: S704 - every word in it goes through escape
        f'<svg class="bay-map" xmlns="http://www.w3.org/2000/svg" width="{number(width)}" '
        f'height="{number(height)}" viewBox="0 0 {number(width)} {number(height)}" role="group" '
        f'aria-label="{escape(f"Bays of {plan.name}, seen from above")}">'
        f"{bays}{_edges(frame, outlines)}</svg>"
    )


def _px_per_m(plan: BayMap) -> float:
    """The scale at which a usual bay takes a thumb and a small area fills a phone."""
    sides = sorted(min(one.bay.width_m, one.bay.height_m) for one in plan.bays)
    usual_m = sides[len(sides) // 2]
    bounds = plan.roof.outline.bounds_m
    filling = min(_LEAST_WIDTH_PX / bounds.length_m, _MOST_PX_PER_M)
    return max(_BAY_PX / usual_m, filling)


def _edges(frame: _Frame, outlines: Sequence[Outline]) -> str:
    paths = "".join(line(frame.ring(one.points_m), is_closed=True) for one in outlines)
    return f'<path class="edge" d="{paths}"/>'


def _bay(frame: _Frame, rings: Sequence[Ring], one: MapBay) -> str:
    ring = frame.ring(one.bay.corners_m)
    drawn = (
        f'<path class="cell" d="{line(ring, is_closed=True)}"/>'
        f"{_pattern(one.pattern, rings, ring)}{_words(one, ring)}"
    )
    told = escape(f"{one.bay.key}, {one.words}")
    sides = (dist(ring[0], ring[1]), dist(ring[1], ring[2]))
    if not one.address or min(sides) < LEAST_TOUCH_PX:
        return f'<g role="img" aria-label="{told}">{drawn}</g>'
    return f'<a href="{escape(one.address)}" aria-label="{told}">{drawn}</a>'


def _pattern(pattern: Pattern, rings: Sequence[Ring], cell: Ring) -> str:
    angles = {
        Pattern.DOTS: ((0.0, 14.0),),
        Pattern.LINES: ((-45.0, 12.0),),
        Pattern.CROSSED: ((-45.0, 12.0), (45.0, 12.0)),
        Pattern.LEVEL: ((0.0, 9.0),),
        Pattern.UPRIGHT: ((90.0, 10.0),),
    }.get(pattern, ())
    paths = "".join(
        hatching(rings, spacing_mm=spacing, angle_deg=angle, within=cell)
        for angle, spacing in angles
    )
    return f'<path class="{pattern.value}" d="{paths}"/>' if paths else ""


def _words(one: MapBay, ring: Ring) -> str:
    """Key and letter in the middle of the bay, on cleared ground where there is a pattern."""
    x = sum(place[0] for place in ring) / len(ring)
    y = sum(place[1] for place in ring) / len(ring)
    height = max(b for _, b in ring) - min(b for _, b in ring)
    if height < _KEY_PX + 2:
        return ""
    has_letter = bool(one.letter) and height >= _KEY_PX + _LETTER_PX
    top = y - 3.0 if has_letter else y + _KEY_PX / 3
    half, deep = len(one.bay.key) * 4.9 + 3.0, _KEY_PX + (_LETTER_PX if has_letter else 4.0)
    ground = (
        ""
        if one.pattern is Pattern.BLANK
        else f'<rect class="ground" x="{number(x - half)}" y="{number(y - deep / 2)}" '
        f'width="{number(2 * half)}" height="{number(deep)}"/>'
    )
    letter = (
        f'<text class="letter" x="{number(x)}" y="{number(y + _LETTER_PX * 0.75)}">'
        f"{escape(one.letter)}</text>"
        if has_letter
        else ""
    )
    key = f'<text x="{number(x)}" y="{number(top)}">{escape(one.bay.key)}</text>'
    return f"{ground}{key}{letter}"


def draw_swatch(pattern: Pattern, letter: str) -> Markup:
    """A small piece of a pattern with its letter, for the key of the map."""
    ring: Ring = ((1.0, 1.0), (39.0, 1.0), (39.0, 31.0), (1.0, 31.0))
    is_cleared = bool(letter) and pattern is not Pattern.BLANK
    ground = '<rect class="ground" x="11" y="5" width="18" height="22"/>' if is_cleared else ""
    told = f'<text class="letter" x="20" y="24">{escape(letter)}</text>' if letter else ""
    cell = f'<path class="cell" d="{line(ring, is_closed=True)}"/>'
    return Markup(  # noqa: S704 - every word in it goes through escape
        '<svg class="bay-map swatch" xmlns="http://www.w3.org/2000/svg" width="40" height="32" '
        f'viewBox="0 0 40 32" aria-hidden="true">{cell}{_pattern(pattern, [ring], ring)}'
        f"{ground}{told}</svg>"
    )

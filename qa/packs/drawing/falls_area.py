"""The drawing of one surveyed area: water, contours, edges, and what is written on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist

from qa.packs.drawing.canvas import Canvas, Place, circle, line, lines
from qa.packs.drawing.edge_lines import draw_edges
from qa.packs.drawing.fall_arrow import draw_fall
from qa.packs.drawing.hatching import Ring, hatching
from qa.packs.drawing.ink import (
    ACCENT,
    HAIRLINE,
    LINE,
    RULE,
    SMALL_ACCENT,
    SMALL_MUTED,
    TINT,
    Pen,
)
from qa.packs.drawing.lettering import width_mm
from qa.packs.drawing.outlet_marks import draw_outlets
from qa.packs.drawing.placing import LabelPlacer, box_round
from qa.packs.drawing.plan_area import Fall
from qa.packs.drawing.scales import tick_text
from qa.packs.drawing.sheet import PlanFrame
from qa.packs.drawing.sides import box_of, sides_of, take_upright
from qa.trade.contours import Contour
from qa.trade.edge_matching import PlanEdge, place_edges
from qa.trade.hollow import Hollow
from qa.trade.outline import RoofArea
from qa.trade.segments import Point

CONTOUR = Pen(width_mm=0.16)
WATER = Pen(width_mm=0.2, colour=ACCENT)
_RIM = Pen(width_mm=0.25, colour=ACCENT)
_WATER_STEP_MM = 0.9
_CROSS_MM = 0.6
_ALONG = (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92)
"""Shares of a contour's corners at which its height may be written, the best first."""

_LEAST_NAMED = 3.0
"""A contour shorter than so many of its labels is left to its neighbours."""

_MOST_NAMED = 40
"""Hollows that bear their depth, the deepest first; more would hide the plan."""

MOST_CROSSES = 400
"""More surveyed places than this would be a grey; they are then not drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FallsPlanArea:
    """One surveyed area as the falls plan shows it.

    Attributes:
        name: its name, as people call it.
        roof: its outline, openings and slope.
        edges: its edges in the order in which they were listed.
        outlets_m: places of its outlets, m.
        surveyed_m: places of the surveyed levels, m.
        contours: lines of equal height.
        step_mm: difference in height from line to line, mm.
        hollows: what cannot drain.
        pools_m: the shape of the standing water, as polygons side by side, m.
        fall: which way it falls, or None where it is level.
    """

    name: str
    roof: RoofArea
    edges: tuple[PlanEdge, ...] = ()
    outlets_m: tuple[Point, ...] = ()
    surveyed_m: tuple[Point, ...] = ()
    contours: tuple[Contour, ...] = ()
    step_mm: float = 10.0
    hollows: tuple[Hollow, ...] = ()
    pools_m: tuple[tuple[Point, ...], ...] = ()
    fall: Fall | None = None


def depth_text(depth_mm: float) -> str:
    """A depth as it is written on a plan: "2 mm", "0.4 mm".

    >>> depth_text(12.34), depth_text(0.4)
    ('12 mm', '0.4 mm')
    """
    return f"{depth_mm:.0f} mm" if depth_mm >= 1.0 else f"{depth_mm:.1f} mm"


def draw_falls_area(canvas: Canvas, area: FallsPlanArea, frame: PlanFrame) -> list[str]:
    """Draw one area from the ground up; return what had no room and must be said in a note."""
    outline = area.roof.outline
    ring = frame.ring(outline)
    openings = [frame.ring(opening) for opening in area.roof.openings]
    contours = [tuple(map(frame.at, contour.points_m)) for contour in area.contours]
    placer = LabelPlacer(frame.cell)
    draw_water(canvas, [tuple(map(frame.at, piece)) for piece in area.pools_m])
    for points, contour in zip(contours, area.contours, strict=True):
        canvas.stroke(line(points, is_closed=contour.is_closed), CONTOUR)
    canvas.stroke("".join(cross(frame.at(place)) for place in marked_places(area)), HAIRLINE)
    for opening in openings:
        canvas.fill(line(opening, is_closed=True), TINT)
        canvas.stroke(line(opening, is_closed=True), RULE)
        placer.take(box_of(opening))
    canvas.stroke(line(ring, is_closed=True), LINE)
    placed = place_edges(outline.edge_lengths_m, area.edges)
    sides = sides_of(ring, outline.edge_lengths_m, placed.by_side)
    draw_edges(canvas, sides)
    take_upright(placer, (side.strip(1.2, -1.2) for side in sides))
    draw_outlets(canvas, [frame.at(outlet) for outlet in area.outlets_m], placer)
    unsaid = _name_hollows(canvas, area.hollows, frame, placer)
    fall, rings = area.fall, [ring, *openings]
    if fall and not draw_fall(canvas, fall, rings, frame.box, placer, is_on_paper=True):
        unsaid.append(f"{fall.text}, without room for its arrow at this scale")
    for points, contour in zip(contours, area.contours, strict=True):
        _name_contour(canvas, points, contour.height_m, placer)
    return unsaid


def draw_water(canvas: Canvas, pieces: Sequence[Ring]) -> None:
    """Hatch water that is given as polygons side by side, and draw its rim."""
    canvas.stroke(hatching(pieces, spacing_mm=_WATER_STEP_MM, angle_deg=45.0), WATER)
    canvas.stroke(lines(_rim(pieces)), _RIM)


def _rim(pieces: Sequence[Ring]) -> list[tuple[Place, Place]]:
    """Return the sides that belong to one polygon alone."""
    sides: dict[frozenset[Place], tuple[Place, Place]] = {}
    for piece in pieces:
        for one, other in zip(piece, (*piece[1:], piece[0]), strict=True):
            name = frozenset((_rounded(one), _rounded(other)))
            if sides.pop(name, None) is None:
                sides[name] = one, other
    return list(sides.values())


def _rounded(place: Place) -> Place:
    return round(place[0], 3), round(place[1], 3)


def marked_places(area: FallsPlanArea) -> tuple[Point, ...]:
    """Return the surveyed places that are marked: all of them, or none where they are too many."""
    return area.surveyed_m if len(area.surveyed_m) <= MOST_CROSSES else ()


def cross(place: Place) -> str:
    """Return the path of the cross that marks a surveyed level."""
    x, y = place
    return lines(
        (((x - _CROSS_MM, y), (x + _CROSS_MM, y)), ((x, y - _CROSS_MM), (x, y + _CROSS_MM)))
    )


def _name_hollows(
    canvas: Canvas, hollows: Sequence[Hollow], frame: PlanFrame, placer: LabelPlacer
) -> list[str]:
    """Mark the deepest place of each hollow and write its depth beside, the deepest first.

    Returns:
        How many have no room for it, as a note.
    """
    named = hollows[:_MOST_NAMED]
    for hollow in named:
        place = frame.at(hollow.lowest_m)
        canvas.fill(circle(place, 0.5), ACCENT)
        placer.take(box_round(place, 1.2, 1.2))
    left_out = list(hollows[_MOST_NAMED:])
    for hollow in named:
        text, place = depth_text(hollow.deepest_mm), frame.at(hollow.lowest_m)
        start = placer.beside(place, text, SMALL_ACCENT, reaches_mm=(2.4, 4.0))
        if start is None:
            left_out.append(hollow)
        else:
            canvas.text(text, start, SMALL_ACCENT, on_paper=True)
    if not left_out:
        return []
    deepest = depth_text(max(hollow.deepest_mm for hollow in left_out))
    count = "1 hollow" if len(left_out) == 1 else f"{len(left_out)} hollows"
    return [f"{count} not named on the plan, at most {deepest} deep"]


def _name_contour(canvas: Canvas, points: Ring, height_m: float, placer: LabelPlacer) -> None:
    """Write a contour's height on it, where it is long enough and there is room."""
    text = tick_text(round(height_m * 1000.0, 3))
    wide, high = width_mm(text, SMALL_MUTED), SMALL_MUTED.cap_mm
    if sum(dist(one, other) for one, other in pairwise(points)) < _LEAST_NAMED * wide:
        return
    places = (points[round(share * (len(points) - 1))] for share in _ALONG)
    box = placer.first_free(box_round(place, wide + 1.4, high + 1.2) for place in places)
    if box is not None:
        x, y = box.centre
        start = x - wide / 2.0, y + high / 2.0
        canvas.text(text, start, SMALL_MUTED, on_paper=True)

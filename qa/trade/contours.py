"""Contour lines of a roof: where its surface has one height, for a picture.

On flat triangles a contour is straight across each, so a line is found by walking from triangle to
triangle over the edges that it crosses.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil

from qa.errors import DomainError
from qa.trade.domain import require_positive
from qa.trade.segments import Point
from qa.trade.surface import Surface
from qa.trade.survey import Level

_MM_PER_M = 1e3

MOST_HEIGHTS = 1_000
"""Most heights drawn in one picture; a finer step is refused as a slip of the unit."""

_Edge = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """One line of equal height.

    Attributes:
        height_m: its height, m, in the survey's own datum.
        points_m: its corners in order (x, y), m, with the higher ground on the left.
        is_closed: whether the last corner joins the first; else it ends at the surface's rim.
    """

    height_m: float
    points_m: tuple[Point, ...]
    is_closed: bool


def contours(surface: Surface, step_mm: float) -> tuple[Contour, ...]:
    """Return the contour lines of a surface at every whole multiple of a step.

    A corner exactly on a height counts as above it, so no line forks and a level piece has its
    line only along its lower rim; a peak that just reaches a height has none.

    Args:
        surface: the roof's surface.
        step_mm: difference in height between lines, mm, above 0.

    Returns:
        The lines, the lowest first.

    Raises:
        DomainError: the step is not above 0, or gives more than a thousand heights.

    >>> from qa.trade.outline import Outline, RoofArea
    >>> from qa.trade.surface import surface_over
    >>> deck = RoofArea(outline=Outline(points_m=((0, 0), (4, 0), (4, 3), (0, 3))))
    >>> levels = [(0, 0, 0.0), (4, 0, 0.1), (4, 3, 0.1), (0, 3, 0.0)]
    >>> (line,) = contours(surface_over(levels, deck), 60.0)
    >>> round(line.height_m, 9), [round(x, 9) for x, _ in line.points_m], line.is_closed
    (0.06, [2.4, 2.4, 2.4], False)
    """
    require_positive("step between contours, mm", step_mm)
    on_roof = {corner for triangle in surface.triangles for corner in triangle}
    heights = [surface.levels_m[corner][2] for corner in on_roof]
    count = (max(heights) - min(heights)) * _MM_PER_M / step_mm
    if count > MOST_HEIGHTS:
        raise DomainError("number of contour heights", round(count), f"{MOST_HEIGHTS} or fewer")
    crossings: defaultdict[int, dict[_Edge, _Edge]] = defaultdict(dict)
    for triangle in surface.triangles:
        for multiple, entered, left in _crossed(surface.levels_m, triangle, step_mm):
            crossings[multiple][entered] = left
    drawn = (
        _drawn(surface.levels_m, multiple * step_mm / _MM_PER_M, line)
        for multiple in sorted(crossings)
        for line in _lines(crossings[multiple])
    )
    return tuple(contour for contour in drawn if len(contour.points_m) > 1)


def _crossed(
    levels: Sequence[Level], triangle: tuple[int, int, int], step_mm: float
) -> Iterator[tuple[int, _Edge, _Edge]]:
    """Yield each multiple that crosses a triangle, the edge it comes in by and the edge it leaves.

    Edges are named from the lower number, so that both triangles at an edge give it one name.
    """
    by_height = sorted(triangle, key=lambda corner: levels[corner][2])
    low, high = levels[by_height[0]][2], levels[by_height[2]][2]
    multiple = ceil(low * _MM_PER_M / step_mm) - 1
    while (height := multiple * step_mm / _MM_PER_M) <= high:
        if height > low:
            above = [levels[corner][2] >= height for corner in triangle]
            sides = tuple(zip(range(3), (1, 2, 0), strict=True))
            climbs = next(side for side in sides if not above[side[0]] and above[side[1]])
            drops = next(side for side in sides if above[side[0]] and not above[side[1]])
            yield multiple, _named(triangle, drops), _named(triangle, climbs)
        multiple += 1


def _named(triangle: tuple[int, int, int], side: _Edge) -> _Edge:
    one, other = triangle[side[0]], triangle[side[1]]
    return (one, other) if one < other else (other, one)


def _lines(onward: dict[_Edge, _Edge]) -> Iterator[list[_Edge]]:
    """Yield chains of edges: open ones from where they begin, then closed ones, back to theirs."""
    for first in sorted(onward.keys() - set(onward.values())):
        yield _chain(first, onward)
    while onward:
        yield _chain(next(iter(onward)), onward)


def _chain(first: _Edge, onward: dict[_Edge, _Edge]) -> list[_Edge]:
    chain = [first]
    while (following := onward.pop(chain[-1], None)) is not None:
        chain.append(following)
    return chain


def _drawn(levels: Sequence[Level], height: float, chain: list[_Edge]) -> Contour:
    # A line through a corner crosses all of the corner's edges at one place: it is drawn once.
    points = [_crossing(levels[one], levels[other], height) for one, other in chain]
    apart = [point for point, _ in groupby(points)]
    is_closed = chain[0] == chain[-1]
    if is_closed and len(apart) > 1:
        apart.pop()
    return Contour(height_m=height, points_m=tuple(apart), is_closed=is_closed)


def _crossing(one: Level, other: Level, height: float) -> Point:
    if other[2] == height:
        return other[0], other[1]
    share = (height - one[2]) / (other[2] - one[2])
    return one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1])

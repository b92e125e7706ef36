"""Strips of mat and the bays in them: the squares that are examined and photographed.

Strips run along x and step along y from the outline's lowest y; each is divided along x into equal
bays, the same for every strip. A bay's key is `r<row>b<number>`, both from 1, so `r1b1` lies at the
outline's lowest x and y. Keys keep the numbers of the grid, also where cells have no roof in them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from qa.errors import DomainError
from qa.trade.domain import require_positive
from qa.trade.outline import Bounds, RoofArea, ring_area_m2
from qa.trade.segments import Point

MOST_CELLS = 100_000
"""Largest grid that is laid out; a larger one is a slip of units. Project choice."""

_ROUNDING = 1e-9
"""Share of a strip, and area in m², that is rounding and not roof."""

_KEY = re.compile(r"r([1-9][0-9]*)b([1-9][0-9]*)")

_Ring = tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BayKey:
    """The place of a bay in the grid.

    Attributes:
        row: number of the strip, from 1.
        number: number of the bay in its strip, from 1.
    """

    row: int
    number: int

    def __str__(self) -> str:
        return f"r{self.row}b{self.number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """One bay.

    Attributes:
        key: its key, such as "r1b1".
        row: number of the strip, from 1.
        number: number of the bay in its strip, from 1.
        x_m: lowest x of its rectangle in plan, m.
        y_m: lowest y of its rectangle in plan, m.
        width_m: extent of the rectangle along x, m.
        height_m: extent of the rectangle along y, m.
        area_m2: roof inside the rectangle, openings deducted, on the slope, m².
    """

    key: str
    row: int
    number: int
    x_m: float
    y_m: float
    width_m: float
    height_m: float
    area_m2: float


def parse_bay_key(key: str) -> BayKey:
    """Return the row and number that a bay's key names.

    Args:
        key: such as "r2b11".

    Raises:
        DomainError: the text is no bay key.

    >>> parse_bay_key("r2b11")
    BayKey(row=2, number=11)
    """
    match = _KEY.fullmatch(key)
    if match is None:
        raise DomainError("bay key", repr(key), "r<row>b<number>, both from 1, such as r1b1")
    return BayKey(row=int(match[1]), number=int(match[2]))


def lay_out_bays(
    roof: RoofArea, *, mat_width_m: float, mat_overlap_m: float, bay_length_m: float
) -> tuple[Bay, ...]:
    """Return the bays of a roof area, strip by strip.

    With H the outline's extent along y and L along x: the first strip is one mat wide, each
    further one adds the mat's width less the overlap, so there are ceil((H - width) / (width -
    overlap)) + 1 strips, the last one as narrow as what is left. Each is divided into
    max(1, round(L / bay length)) equal bays. Cells without roof are left out.

    Args:
        roof: the area; its outline is in plan.
        mat_width_m: width of the mat, m, above nought.
        mat_overlap_m: overlap of neighbouring strips, m, nought or more, below the width.
        bay_length_m: wanted length of a bay, m, above nought.

    Returns:
        The bays, by row and number; their areas add up to the roof's net area.

    Raises:
        DomainError: a figure lies outside its range, or the grid has above 100,000 cells.

    Source: practice of laying strips one mat wide (common practice, no source); areas by
    cutting the outline along the grid's lines and the shoelace formula.

    >>> from qa.trade.outline import Outline
    >>> roof = RoofArea(outline=Outline(points_m=((0, 0), (4, 0), (4, 1.95), (0, 1.95))))
    >>> bays = lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=0.05, bay_length_m=2.0)
    >>> [(bay.key, round(bay.area_m2, 3)) for bay in bays]
    [('r1b1', 2.0), ('r1b2', 2.0), ('r2b1', 1.9), ('r2b2', 1.9)]
    """
    require_positive("width of the mat, m", mat_width_m)
    require_positive("length of a bay, m", bay_length_m)
    if not 0.0 <= mat_overlap_m < mat_width_m:
        narrower = f"0 or more and below the mat's width of {mat_width_m:g}"
        raise DomainError("overlap of the mat, m", mat_overlap_m, narrower)
    bounds = roof.outline.bounds_m
    step_m = mat_width_m - mat_overlap_m
    rows = max(1, ceil((bounds.height_m - mat_width_m) / step_m - _ROUNDING) + 1)
    columns = max(1, round(bounds.length_m / bay_length_m))
    if rows * columns > MOST_CELLS:
        raise DomainError("number of bays", rows * columns, f"{MOST_CELLS:,} or fewer")
    ys = _strip_lines(bounds, rows=rows, mat_width_m=mat_width_m, step_m=step_m)
    xs = [bounds.low_x_m + bounds.length_m * column / columns for column in range(columns)]
    return tuple(_bays(roof, xs=(*xs, bounds.high_x_m), ys=ys))


def _strip_lines(
    bounds: Bounds, *, rows: int, mat_width_m: float, step_m: float
) -> tuple[float, ...]:
    between = [bounds.low_y_m + mat_width_m + step_m * row for row in range(rows - 1)]
    return (bounds.low_y_m, *between, bounds.high_y_m)


def _bays(roof: RoofArea, *, xs: tuple[float, ...], ys: tuple[float, ...]) -> Iterator[Bay]:
    """Cut the rings into strips and the strips into cells, and keep the cells with roof."""
    rest = (roof.outline.points_m, *(opening.points_m for opening in roof.openings))
    factor = roof.slope_factor
    for row, (low_y, high_y) in enumerate(pairwise(ys), start=1):
        strip, rest = _cut(rest, axis=1, at_m=high_y)
        for number, (low_x, high_x) in enumerate(pairwise(xs), start=1):
            cell, strip = _cut(strip, axis=0, at_m=high_x)
            outer_m2, *openings_m2 = map(ring_area_m2, cell)
            area_m2 = (outer_m2 - sum(openings_m2)) * factor
            if area_m2 > _ROUNDING:
                yield Bay(
                    key=str(BayKey(row=row, number=number)),
                    row=row,
                    number=number,
                    x_m=low_x,
                    y_m=low_y,
                    width_m=high_x - low_x,
                    height_m=high_y - low_y,
                    area_m2=area_m2,
                )


def _cut(
    rings: tuple[_Ring, ...], *, axis: int, at_m: float
) -> tuple[tuple[_Ring, ...], tuple[_Ring, ...]]:
    """Return what lies below and above a line across an axis, ring by ring."""
    pieces = [_cut_ring(ring, axis=axis, at_m=at_m) for ring in rings]
    return tuple(below for below, _ in pieces), tuple(above for _, above in pieces)


def _cut_ring(ring: _Ring, *, axis: int, at_m: float) -> tuple[_Ring, _Ring]:
    """Cut one ring; parts of a concave one stay joined along the line, where they add no area.

    Source: Sutherland and Hodgman's clipping against one half-plane, done for both sides.
    """
    below: list[Point] = []
    above: list[Point] = []
    for index, point in enumerate(ring):
        before = ring[index - 1]
        side, side_before = point[axis] - at_m, before[axis] - at_m
        if side * side_before < 0.0:
            crossing = _on_line(before, point, axis=axis, at_m=at_m)
            below.append(crossing)
            above.append(crossing)
        if side <= 0.0:
            below.append(point)
        if side >= 0.0:
            above.append(point)
    return tuple(below), tuple(above)


def _on_line(start: Point, end: Point, *, axis: int, at_m: float) -> Point:
    share = (at_m - start[axis]) / (end[axis] - start[axis])
    if axis == 0:
        return at_m, start[1] + share * (end[1] - start[1])
    return start[0] + share * (end[0] - start[0]), at_m

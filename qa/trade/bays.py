"""Strips of mat and the bays in them: the squares that are examined and photographed.

Strips run along x and step along y from the outline's lowest y; each is divided along x into equal
bays, the same for every strip. A bay's key is `r<row>b<number>`, both from 1, so `r1b1` lies at the
outline's lowest x and y. Keys keep the numbers of the grid, also where cells have no roof in them.
Turned by an angle, all this holds in the frame in which strips run along x.
"""

from __future__ import annotations

import re
from bisect import insort
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from qa.errors import DomainError
from qa.trade.clipping import Ring, cut_ring
from qa.trade.domain import require_positive
from qa.trade.outline import RoofArea, ring_area_m2
from qa.trade.strips import StripFrame, strip_lines_m

MOST_CELLS = 100_000
"""Largest grid that is laid out; a larger one is a slip of units. Project choice."""

_ROUNDING = 1e-9
"""Area that is rounding and not roof, m²."""

_KEY = re.compile(r"r([1-9][0-9]*)b([1-9][0-9]*)")


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
        x_m: lowest x of its rectangle in the strips' frame, which at angle 0 is the plan, m.
        y_m: lowest y of its rectangle in that frame, m.
        width_m: extent of the rectangle along the strip, m.
        height_m: extent of the rectangle across the strip, m.
        area_m2: roof inside the rectangle, openings deducted, on the slope, m².
        corners_m: the rectangle's four corners in plan, anticlockwise from (x_m, y_m), m.
    """

    key: str
    row: int
    number: int
    x_m: float
    y_m: float
    width_m: float
    height_m: float
    area_m2: float
    corners_m: Ring


@lru_cache(maxsize=4096)
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
    roof: RoofArea,
    *,
    mat_width_m: float,
    mat_overlap_m: float,
    bay_length_m: float,
    angle_deg: float = 0.0,
) -> tuple[Bay, ...]:
    """Return the bays of a roof area, strip by strip.

    With H the outline's extent across the strips and L along them: the first strip is one mat
    wide, each further one adds the mat's width less the overlap, so there are ceil((H - width) /
    (width - overlap)) + 1 strips, the last one as narrow as what is left. Each is divided into
    max(1, round(L / bay length)) equal bays. Cells without roof are left out.

    Args:
        roof: the area; its outline is in plan.
        mat_width_m: width of the mat, m, above nought.
        mat_overlap_m: overlap of neighbouring strips, m, nought or more, below the width.
        bay_length_m: wanted length of a bay, m, above nought.
        angle_deg: angle from x to the strips, degrees, -180 to 180; `strip_angle_deg` gives the
            one along the longest edge.

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
    >>> bays[3].corners_m
    ((2.0, 1.0), (4, 1.0), (4, 1.95), (2.0, 1.95))
    """
    require_positive("length of a bay, m", bay_length_m)
    frame = StripFrame.of(roof, angle_deg=angle_deg)
    bounds = frame.bounds_m
    ys = strip_lines_m(bounds, width_m=mat_width_m, overlap_m=mat_overlap_m)
    columns = max(1, round(bounds.length_m / bay_length_m))
    if (len(ys) - 1) * columns > MOST_CELLS:
        raise DomainError("number of bays", (len(ys) - 1) * columns, f"{MOST_CELLS:,} or fewer")
    xs = [bounds.low_x_m + bounds.length_m * column / columns for column in range(columns)]
    cells = _cells(frame.rings, xs=(*xs, bounds.high_x_m), ys=ys)
    return tuple(
        _bay(frame, cell, area_m2=cell.plan_m2 * roof.slope_factor)
        for cell in cells
        if cell.plan_m2 * roof.slope_factor > _ROUNDING
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """One rectangle of the grid and the roof in it, in plan."""

    row: int
    number: int
    low_x: float
    low_y: float
    high_x: float
    high_y: float
    plan_m2: float


def _bay(frame: StripFrame, cell: _Cell, *, area_m2: float) -> Bay:
    rectangle = (
        (cell.low_x, cell.low_y),
        (cell.high_x, cell.low_y),
        (cell.high_x, cell.high_y),
        (cell.low_x, cell.high_y),
    )
    return Bay(
        key=str(BayKey(row=cell.row, number=cell.number)),
        row=cell.row,
        number=cell.number,
        x_m=cell.low_x,
        y_m=cell.low_y,
        width_m=cell.high_x - cell.low_x,
        height_m=cell.high_y - cell.low_y,
        area_m2=area_m2,
        corners_m=frame.in_plan(rectangle),
    )


def _cells(
    rings: tuple[Ring, ...], *, xs: tuple[float, ...], ys: tuple[float, ...]
) -> Iterator[_Cell]:
    """Cut the rings into strips and the strips into cells."""
    outline, openings = rings[0], _Openings(rings[1:], axis=1)
    for row, (low_y, high_y) in enumerate(pairwise(ys), start=1):
        strip, outline = cut_ring(outline, axis=1, at_m=high_y)
        in_strip = _Openings(openings.below(high_y), axis=0)
        for number, (low_x, high_x) in enumerate(pairwise(xs), start=1):
            cell, strip = cut_ring(strip, axis=0, at_m=high_x)
            openings_m2 = sum(map(ring_area_m2, in_strip.below(high_x)))
            yield _Cell(
                row=row,
                number=number,
                low_x=low_x,
                low_y=low_y,
                high_x=high_x,
                high_y=high_y,
                plan_m2=ring_area_m2(cell) - openings_m2,
            )


class _Openings:
    """Openings that a line sweeps over: only those that it has reached are looked at and cut."""

    def __init__(self, rings: Iterable[Ring], *, axis: int) -> None:
        self._axis = axis
        starts = (
            (min(point[axis] for point in ring), order, ring) for order, ring in enumerate(rings)
        )
        self._ahead = deque(sorted(starts))
        self._reached: list[tuple[int, Ring]] = []

    def below(self, at_m: float) -> list[Ring]:
        """Cut off and return what lies between the line's last place and this one."""
        while self._ahead and self._ahead[0][0] < at_m:
            _, order, ring = self._ahead.popleft()
            insort(self._reached, (order, ring))  # in the order given, so that sums keep theirs
        pieces = [
            (order, cut_ring(ring, axis=self._axis, at_m=at_m)) for order, ring in self._reached
        ]
        self._reached = [(order, above) for order, (_, above) in pieces if above]
        return [below for _, (below, _) in pieces if below]

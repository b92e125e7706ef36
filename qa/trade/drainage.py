"""Where the water of a roof can leave, and which parts of the roof lead it there.

BS 6229 asks for a finished fall of at least 1:80 everywhere, and for no part that drains back from
the outlet. Both are questions to each small piece of the roof, not to its mean plane.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import fsum, hypot

from qa.errors import DomainError
from qa.trade.conformity import RELATIVE_NOISE
from qa.trade.domain import require_finite, require_not_negative
from qa.trade.falls import MM_PER_M, downhill_deg
from qa.trade.segments import Point
from qa.trade.surface import Surface
from qa.trade.survey import Level

LEAST_FALL_MM_PER_M = 12.5
"""1:80, the least finished fall (BS 6229:2018, as quoted in the trade press)."""

_LEVEL_MM_PER_M = 1e-6
"""Fall of a nanometre in a metre, below which a piece is level: rounding makes as much."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drains:
    """Where water leaves a roof: outlets, and the edges over which it may run off.

    A drip edge drains; a raised edge, a wall and the kerb of an opening do not, and are not
    listed.

    Attributes:
        outlets_m: the outlets' places (x, y), m.
        edges_m: draining edges as (start, end), m, along the outline; part of an edge will do.

    Raises:
        DomainError: there is neither an outlet nor a draining edge, a coordinate is not finite, or
            an edge has no length.
    """

    outlets_m: tuple[Point, ...] = ()
    edges_m: tuple[tuple[Point, Point], ...] = ()

    def __post_init__(self) -> None:
        if not self.outlets_m and not self.edges_m:
            raise DomainError("number of outlets and draining edges", 0, "1 or more")
        for point in (*self.outlets_m, *(point for edge in self.edges_m for point in edge)):
            require_finite("x of an outlet or draining edge, m", point[0])
            require_finite("y of an outlet or draining edge, m", point[1])
        for start, end in self.edges_m:
            if start == end:
                raise DomainError("length of a draining edge, m", 0, "above 0")

    def nearest_m(self, point_m: Point) -> Iterable[Point]:
        """Yield every outlet, and of each draining edge the place nearest to a point."""
        yield from self.outlets_m
        for start, end in self.edges_m:
            yield nearest_on_edge(point_m, start, end)


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalFall:
    """The fall of one flat piece of a roof.

    Attributes:
        fall_mm_per_m: its steepest fall, mm/m.
        direction_deg: the way down, degrees anticlockwise from +x; None where it is level.
        area_m2: its area in plan, m².
        centre_m: its middle in plan, m.
    """

    fall_mm_per_m: float
    direction_deg: float | None
    area_m2: float
    centre_m: Point


def local_falls(surface: Surface) -> tuple[LocalFall, ...]:
    """Return the fall of each triangle of a surface, in their order.

    The plane through corners a, b and c rises along x by ((zb - za)(yc - ya) - (zc - za)(yb - ya))
    over twice the area in plan, and along y likewise; the fall is the root of the squares.

    >>> from qa.trade.outline import Outline, RoofArea
    >>> from qa.trade.surface import surface_over
    >>> deck = RoofArea(outline=Outline(points_m=((0, 0), (4, 0), (4, 3), (0, 3))))
    >>> levels = [(0, 0, 0.0), (4, 0, 0.1), (4, 3, 0.1), (0, 3, 0.0)]
    >>> falls = local_falls(surface_over(levels, deck))
    >>> [(round(fall.fall_mm_per_m, 9), fall.direction_deg) for fall in falls]
    [(25.0, 180.0), (25.0, 180.0)]
    """
    falls = []
    for (rise_x, rise_y), area_m2, centre_m in _slopes(surface):
        fall = hypot(rise_x, rise_y)
        is_sloping = fall * MM_PER_M > _LEVEL_MM_PER_M
        falls.append(
            LocalFall(
                fall_mm_per_m=fall * MM_PER_M,
                direction_deg=downhill_deg(rise_x, rise_y) if is_sloping else None,
                area_m2=area_m2,
                centre_m=centre_m,
            )
        )
    return tuple(falls)


def share_below(
    falls: Sequence[LocalFall], *, least_mm_per_m: float = LEAST_FALL_MM_PER_M
) -> float:
    """Return the share of the surveyed area in plan whose fall is below a limit.

    A fall that misses the limit by no more than rounding (1e-9 of it) is not below.

    Args:
        falls: the pieces of the roof, at least one.
        least_mm_per_m: the limit, mm/m, 0 or more; 12.5 is 1:80.

    Returns:
        The share, 0 to 1.

    Raises:
        DomainError: there is no piece, or the limit is negative or not finite.

    Source: BS 6229:2018 for the limit of 1:80 (as quoted in the trade press).

    >>> flat = LocalFall(fall_mm_per_m=11.1, direction_deg=0.0, area_m2=3.0, centre_m=(0, 0))
    >>> good = LocalFall(fall_mm_per_m=12.5, direction_deg=0.0, area_m2=9.0, centre_m=(5, 0))
    >>> share_below((flat, good))
    0.25
    """
    require_not_negative("least fall, mm/m", least_mm_per_m)
    if not falls:
        raise DomainError("number of pieces of the roof", 0, "1 or more")
    limit = least_mm_per_m * (1.0 - RELATIVE_NOISE)
    below_m2 = fsum(fall.area_m2 for fall in falls if fall.fall_mm_per_m < limit)
    return below_m2 / fsum(fall.area_m2 for fall in falls)


def back_fall_m2(
    surface: Surface,
    drains: Drains,
    *,
    least_mm_per_m: float = 0.0,
    level_uncertainty_mm: float = 0.0,
) -> float:
    """Return the area in plan that drains away from every outlet and every draining edge, m².

    A piece drains away from an outlet where its way down makes more than a right angle with the
    straight way to it: the roof rises that way, g . w > 0, with g its rise and w that way. For a
    draining edge, its nearest place counts. A piece across the way, or level, is no back-fall;
    neither is one whose rise its levels can feign. With w of unit length, g . w hangs on the height
    of corner a by s_a = w x (c - b) over twice the area, and likewise on b and c, so levels known
    to U make it known to U sqrt(s_a^2 + s_b^2 + s_c^2). Corners added at the roof's edges are taken
    to be known as the levels are.

    Args:
        surface: the roof's surface.
        drains: where its water can leave.
        least_mm_per_m: a fall of this or less counts as level, mm/m, 0 or more.
        level_uncertainty_mm: expanded uncertainty of one level, k = 2, mm, 0 or more; a rise of no
            more than it makes of the rise is none.

    Raises:
        DomainError: the least fall or the uncertainty is negative or not finite.

    Source: the words of BS 6229 (draining back from the outlet); the right angle is this
    project's reading. JCGM 100:2008, 5.1.2 for the uncertainty of a piece's rise (from memory).

    >>> from qa.trade.outline import Outline, RoofArea
    >>> from qa.trade.surface import surface_over
    >>> deck = RoofArea(outline=Outline(points_m=((0, 0), (4, 0), (4, 3), (0, 3))))
    >>> levels = [(0, 0, 0.0), (0, 3, 0.0), (3, 0, 0.06), (3, 3, 0.06), (4, 0, 0.0), (4, 3, 0.0)]
    >>> round(back_fall_m2(surface_over(levels, deck), Drains(outlets_m=((0.0, 1.5),))), 9)
    3.0
    """
    require_not_negative("least fall, mm/m", least_mm_per_m)
    require_not_negative("uncertainty of a level, mm", level_uncertainty_mm)
    least = max(least_mm_per_m * (1.0 + RELATIVE_NOISE), _LEVEL_MM_PER_M) / MM_PER_M
    level_m = level_uncertainty_mm / MM_PER_M
    found_m2 = 0.0
    for corners, (rise, area_m2, centre_m) in zip(surface.triangles, _slopes(surface), strict=True):
        if hypot(*rise) > least:
            feigns = level_m / (2.0 * area_m2)
            sides = _sides(*(surface.levels_m[corner] for corner in corners)) if feigns else ()
            if _drains_away(rise, centre_m, drains, feigns, sides):
                found_m2 += area_m2
    return found_m2


def _sides(a: Level, b: Level, c: Level) -> tuple[Point, ...]:
    return tuple((to[0] - at[0], to[1] - at[1]) for at, to in ((b, c), (c, a), (a, b)))


def nearest_on_edge(point_m: Point, start: Point, end: Point) -> Point:
    """Return the place on a straight edge nearest to a point.

    >>> nearest_on_edge((1.0, 2.0), (0.0, 0.0), (4.0, 0.0))
    (1.0, 0.0)
    """
    along_x, along_y = end[0] - start[0], end[1] - start[1]
    ahead = (point_m[0] - start[0]) * along_x + (point_m[1] - start[1]) * along_y
    share = min(1.0, max(0.0, ahead / (along_x * along_x + along_y * along_y)))
    return start[0] + share * along_x, start[1] + share * along_y


def _drains_away(
    rise: Point, centre_m: Point, drains: Drains, feigns: float, sides: Sequence[Point]
) -> bool:
    """Return whether a piece rises on the straight way to every outlet and draining edge.

    Args:
        rise: along x and y, m per m.
        centre_m: its middle.
        drains: the ways out.
        feigns: uncertainty of a level over twice the piece's area, 1/m.
        sides: the piece's three sides, needed where that is above nought.
    """
    steepest = hypot(*rise)
    for x, y in drains.nearest_m(centre_m):
        way_x, way_y = x - centre_m[0], y - centre_m[1]
        up_that_way = rise[0] * way_x + rise[1] * way_y
        if up_that_way <= RELATIVE_NOISE * steepest * hypot(way_x, way_y):
            return False
        if up_that_way <= feigns * hypot(*(way_x * dy - way_y * dx for dx, dy in sides)):
            return False
    return True


def _slopes(surface: Surface) -> Iterable[tuple[Point, float, Point]]:
    """Yield each triangle's rise along x and y, m per m, its area, m², and its middle, m."""
    levels = surface.levels_m
    for corners in surface.triangles:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (levels[corner] for corner in corners)
        centre = (ax + bx + cx) / 3.0, (ay + by + cy) / 3.0
        bx, by, bz, cx, cy, cz = bx - ax, by - ay, bz - az, cx - ax, cy - ay, cz - az
        twice_area = bx * cy - by * cx
        rise = (bz * cy - cz * by) / twice_area, (cz * bx - bz * cx) / twice_area
        yield rise, twice_area / 2.0, centre

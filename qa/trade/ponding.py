"""Hollows of a roof that cannot drain: how deep, how wide, and how much water they keep.

Water is let rise over the whole roof and then run off: from the outlets and the draining edges
inwards, the lowest corner reached first, every corner keeps the water that its lowest way out
holds back. On flat triangles, the lowest way out runs from corner to corner along edges, and each
triangle holds water of one level, so depths and volumes are exact for the surface.

Source: priority-flood, R. Barnes, C. Lehman and D. Mulla, Computers & Geosciences 62 (2014), from
memory, on the corners and edges of triangles instead of a grid's cells.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from itertools import pairwise
from math import hypot

from qa.errors import DomainError
from qa.trade.drainage import Drains, nearest_on_edge
from qa.trade.hollow import Hollow, hollows_in
from qa.trade.segments import Point
from qa.trade.surface import Surface

_BESIDE_M = 1e-3
"""Distance within which two edges of a roof are equally near, m."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flood:
    """A roof after rain without end, when nothing more runs off.

    Attributes:
        water_m: level of the water at each corner of the surface, m; where the corner is dry, its
            own height. Never below the ground.
        hollows: the hollows, the deepest first.
    """

    water_m: tuple[float, ...]
    hollows: tuple[Hollow, ...]

    @property
    def volume_l(self) -> float:
        """Volume of all standing water, litres."""
        return sum(hollow.volume_l for hollow in self.hollows)

    @property
    def area_m2(self) -> float:
        """Area of all standing water in plan, m²."""
        return sum(hollow.area_m2 for hollow in self.hollows)


def flood(surface: Surface, drains: Drains) -> Flood:
    """Return where and how deep water stands on a roof that drains as given.

    An outlet takes water at the height of the surface at its place; beside the surface, at the
    nearest corner of it. The rim of the surface drains where a draining edge is the roof's edge
    nearest to it, even if the levels end short of the edge. All other edges hold water back,
    without limit of height.

    Args:
        surface: the roof's surface.
        drains: the outlets and the draining edges.

    Raises:
        DomainError: a part of the surface reaches neither an outlet nor a draining edge.

    Source: the module's; the water in each triangle by the volume of a prism and a pyramid.

    >>> from qa.trade.outline import Outline, RoofArea
    >>> from qa.trade.surface import surface_over
    >>> deck = RoofArea(outline=Outline(points_m=((0, 0), (2, 0), (2, 2), (0, 2))))
    >>> dented = surface_over([(0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (1, 1, -0.03)], deck)
    >>> (hollow,) = flood(dented, Drains(outlets_m=((0.0, 0.0),))).hollows
    >>> hollow.deepest_mm, hollow.area_m2, round(hollow.volume_l, 9), hollow.lowest_m
    (30.0, 4.0, 40.0, (1, 1))
    """
    neighbours = _neighbours(surface)
    rise = _Rise(surface, neighbours)
    for outlet in drains.outlets_m:
        rise.begin_at_outlet(outlet)
    if drains.edges_m:
        rise.begin_at_edges(drains.edges_m)
    rise.run()
    count = len(surface.levels_m)
    water_m, spill_m = tuple(rise.water_m[:count]), rise.spill_m[:count]
    return Flood(water_m=water_m, hollows=hollows_in(surface, neighbours, water_m, spill_m))


class _Rise:
    """The corners reached so far, each with the level of its water and where that spills.

    After the surface's corners come the ways out that lie between them: each leads to the corners
    of its triangle.
    """

    def __init__(self, surface: Surface, neighbours: Sequence[set[int]]) -> None:
        self._surface = surface
        self._onward = list(neighbours)
        self._reached = [not around for around in neighbours]
        self._begun: set[int] = set()
        self.water_m = [level[2] for level in surface.levels_m]
        self.spill_m: list[Point] = [(level[0], level[1]) for level in surface.levels_m]

    def begin_at_outlet(self, outlet: Point) -> None:
        """Begin at an outlet's height, or beside the surface at the corner nearest to it."""
        if not self._begin_on_surface(outlet):
            levels, onward = self._surface.levels_m, self._onward
            on_roof = (corner for corner in range(len(levels)) if onward[corner])
            self._begun.add(min(on_roof, key=lambda corner: _apart_m(levels[corner], outlet)))

    def begin_at_edges(self, edges: Sequence[tuple[Point, Point]]) -> None:
        """Begin where the surface's rim runs along a draining edge.

        That is at the rim's corners beside such an edge, at both ends of a rim's edge whose middle
        is beside one, and at the ends of the draining edge itself, where only part of one drains.
        """
        levels = self._surface.levels_m
        roof_edges = tuple(_roof_edges(self._surface))
        for one, other in _rim(self._surface):
            (x, y, _), (other_x, other_y, _) = levels[one], levels[other]
            middle = (x + other_x) / 2.0, (y + other_y) / 2.0
            if _is_beside((x, y), edges, roof_edges):
                self._begun.add(one)
            if _is_beside(middle, edges, roof_edges):
                self._begun.update((one, other))
        corners = {(level[0], level[1]) for level in levels}
        for edge in edges:
            for end in edge:
                if end not in corners:
                    self._begin_on_surface(end)

    def run(self) -> None:
        """Reach every corner, from the lowest water first."""
        water, spill, reached, onward = self.water_m, self.spill_m, self._reached, self._onward
        for begun in self._begun:
            reached[begun] = True
        following = [(water[begun], begun) for begun in self._begun]
        heapify(following)
        while following:
            level, corner = heappop(following)
            for other in onward[corner]:
                if not reached[other]:
                    reached[other] = True
                    if water[other] < level:
                        water[other], spill[other] = level, spill[corner]
                    heappush(following, (water[other], other))
        if not all(reached):
            x, y = spill[reached.index(False)]
            quantity = f"way out of the water at ({x:.3f}, {y:.3f}) m"
            raise DomainError(quantity, "missing", "an outlet or a draining edge on that part")

    def _begin_on_surface(self, point_m: Point) -> bool:
        """Begin at a place of the surface, at its height; return whether it is one."""
        triangle = self._surface.triangle_at(point_m)
        if triangle is None:
            return False
        self._begun.add(len(self.water_m))
        self._onward.append(set(triangle))
        self._reached.append(True)
        self.water_m.append(self._surface.height_in(triangle, point_m))
        self.spill_m.append(point_m)
        return True


def _neighbours(surface: Surface) -> list[set[int]]:
    around: list[set[int]] = [set() for _ in surface.levels_m]
    for a, b, c in surface.triangles:
        around[a].update((b, c))
        around[b].update((c, a))
        around[c].update((a, b))
    return around


def _rim(surface: Surface) -> Iterator[tuple[int, int]]:
    """Yield the edges that have a triangle on one side only."""
    edges: set[tuple[int, int]] = set()
    for a, b, c in surface.triangles:
        edges.update(((a, b), (b, c), (c, a)))
    return (edge for edge in edges if edge[::-1] not in edges)


def _roof_edges(surface: Surface) -> Iterator[tuple[Point, Point]]:
    for ring in (surface.roof.outline, *surface.roof.openings):
        yield from pairwise((*ring.points_m, ring.points_m[0]))


def _is_beside(
    point_m: Point,
    draining: Sequence[tuple[Point, Point]],
    roof_edges: Sequence[tuple[Point, Point]],
) -> bool:
    """Return whether no edge of the roof is nearer than the nearest draining one."""
    to_drain = min(_apart_m(nearest_on_edge(point_m, *edge), point_m) for edge in draining)
    nearer = to_drain - _BESIDE_M
    return nearer <= 0.0 or not any(
        _apart_m(nearest_on_edge(point_m, *edge), point_m) < nearer for edge in roof_edges
    )


def _apart_m(one: Sequence[float], other: Sequence[float]) -> float:
    return hypot(one[0] - other[0], one[1] - other[1])

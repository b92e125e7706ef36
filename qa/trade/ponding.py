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
    nearest corner of it. A corner on the rim of the surface drains where a draining edge is the
    roof's edge nearest to it, even if the levels end short of the edge. All other edges hold water
    back, without limit of height.

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
    rise.begin_at_outlets(drains)
    rise.begin_at_edges(drains)
    rise.run()
    return Flood(
        water_m=tuple(rise.water_m),
        hollows=hollows_in(surface, neighbours, rise.water_m, rise.spill_m),
    )


class _Rise:
    """The corners reached so far, each with the level of its water and where that spills."""

    def __init__(self, surface: Surface, neighbours: Sequence[set[int]]) -> None:
        self._surface = surface
        self._neighbours = neighbours
        self._ground_m = [level[2] for level in surface.levels_m]
        self._reached = [not around for around in neighbours]
        self._next: list[tuple[float, int]] = []
        self.water_m = list(self._ground_m)
        self.spill_m: list[Point] = [(level[0], level[1]) for level in surface.levels_m]

    def begin_at_outlets(self, drains: Drains) -> None:
        """Reach the corners of each outlet's triangle, or the corner nearest to it."""
        levels = self._surface.levels_m
        for outlet in drains.outlets_m:
            triangle = self._surface.triangle_at(outlet)
            height = self._surface.height_m(outlet) if triangle else None
            if triangle is None or height is None:
                on_roof = (n for n, around in enumerate(self._neighbours) if around)
                nearest = min(on_roof, key=lambda n: _apart_squared(levels[n][:2], outlet))
                self._begin(nearest, self._ground_m[nearest], outlet)
                continue
            for corner in triangle:
                self._begin(corner, height, outlet)

    def begin_at_edges(self, drains: Drains) -> None:
        """Reach the corners on the surface's rim whose nearest edge of the roof drains."""
        if not drains.edges_m:
            return
        walls = tuple(_roof_edges(self._surface))
        for corner in _rim(self._surface):
            x, y, height = self._surface.levels_m[corner]
            to_drain = min(_apart_squared((x, y), place) for place in _feet((x, y), drains.edges_m))
            to_edge = min(_apart_squared((x, y), place) for place in _feet((x, y), walls))
            if to_drain**0.5 <= to_edge**0.5 + _BESIDE_M:
                self._begin(corner, height, (x, y))

    def run(self) -> None:
        """Reach every corner, from the lowest water first."""
        self._next = [(self.water_m[n], n) for n, reached in enumerate(self._reached) if reached]
        heapify(self._next)
        water, ground, reached, following = self.water_m, self._ground_m, self._reached, self._next
        while following:
            level, corner = heappop(following)
            for other in self._neighbours[corner]:
                if not reached[other]:
                    reached[other] = True
                    if ground[other] < level:
                        water[other] = level
                        self.spill_m[other] = self.spill_m[corner]
                    heappush(following, (water[other], other))
        if not all(reached):
            x, y, _ = self._surface.levels_m[reached.index(False)]
            quantity = f"way out of the water at ({x:.3f}, {y:.3f}) m"
            raise DomainError(quantity, "missing", "an outlet or a draining edge on that part")

    def _begin(self, corner: int, height: float, spill: Point) -> None:
        """Reach a corner from a way out; of several, the lowest counts."""
        level = max(height, self._ground_m[corner])
        if self._reached[corner] and self.water_m[corner] <= level:
            return
        self._reached[corner] = True
        self.water_m[corner] = level
        self.spill_m[corner] = spill


def _neighbours(surface: Surface) -> list[set[int]]:
    around: list[set[int]] = [set() for _ in surface.levels_m]
    for a, b, c in surface.triangles:
        around[a].update((b, c))
        around[b].update((c, a))
        around[c].update((a, b))
    return around


def _rim(surface: Surface) -> set[int]:
    """Return the corners on edges that have a triangle on one side only."""
    edges: set[tuple[int, int]] = set()
    for a, b, c in surface.triangles:
        edges.update(((a, b), (b, c), (c, a)))
    return {corner for edge in edges if edge[::-1] not in edges for corner in edge}


def _roof_edges(surface: Surface) -> Iterator[tuple[Point, Point]]:
    for ring in (surface.roof.outline, *surface.roof.openings):
        yield from zip(ring.points_m, (*ring.points_m[1:], ring.points_m[0]), strict=True)


def _feet(point_m: Point, edges: Sequence[tuple[Point, Point]]) -> Iterator[Point]:
    for start, end in edges:
        yield nearest_on_edge(point_m, start, end)


def _apart_squared(one: Sequence[float], other: Sequence[float]) -> float:
    x, y = one[0] - other[0], one[1] - other[1]
    return x * x + y * y

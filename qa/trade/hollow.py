"""One hollow of a roof and the water in it, measured over flat triangles.

The water of a hollow is level, so over each triangle it is a prism, a pyramid or the difference of
the two, and its volume is exact for the surface.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from qa.trade.segments import Point
from qa.trade.surface import Surface

DRY_M = 1e-9
"""Depth that is rounding and no water, m."""

_LEAST_M2 = 1e-6
"""Area of a square millimetre, below which a hollow is a needle that rounding made at a rim, m²."""

_MM_PER_M = 1e3
_L_PER_M3 = 1e3


@dataclass(frozen=True, slots=True, kw_only=True)
class Hollow:
    """Water that stands on a roof because no way out lies lower.

    Attributes:
        deepest_mm: greatest depth, mm.
        area_m2: area of the water in plan, m².
        volume_l: volume of the water, litres.
        lowest_m: place of the greatest depth (x, y), m.
        spill_m: place over which the hollow spills when it is full (x, y), m.
    """

    deepest_mm: float
    area_m2: float
    volume_l: float
    lowest_m: Point
    spill_m: Point


def hollows_in(
    surface: Surface,
    neighbours: Sequence[set[int]],
    water_m: Sequence[float],
    spill_m: Sequence[Point],
) -> tuple[Hollow, ...]:
    """Gather the wet corners that touch into hollows, and measure each over its triangles.

    Wet corners that share an edge hold water of one level: each lies below the other's way out.

    Args:
        surface: the roof's surface.
        neighbours: the corners that share an edge with each corner.
        water_m: level of the water at each corner, m, not below its ground.
        spill_m: the place over which the water at each corner spills (x, y), m.

    Returns:
        The hollows of more than a square millimetre, the deepest first.
    """
    levels = surface.levels_m
    depths = [water - level[2] for water, level in zip(water_m, levels, strict=True)]
    gathered = tuple(_gathered(neighbours, depths))
    hollows = []
    for wet, (area_m2, volume_m3) in zip(
        gathered, _measured(surface, water_m, gathered), strict=True
    ):
        if area_m2 > _LEAST_M2:
            lowest = max(wet, key=lambda corner: depths[corner])
            hollow = Hollow(
                deepest_mm=depths[lowest] * _MM_PER_M,
                area_m2=area_m2,
                volume_l=volume_m3 * _L_PER_M3,
                lowest_m=levels[lowest][:2],
                spill_m=spill_m[lowest],
            )
            hollows.append(hollow)
    return tuple(sorted(hollows, key=lambda hollow: -hollow.deepest_mm))


def _gathered(neighbours: Sequence[set[int]], depths: Sequence[float]) -> Iterator[tuple[int, ...]]:
    """Yield the wet corners that touch one another, hollow by hollow."""
    seen: set[int] = set()
    for corner, depth in enumerate(depths):
        if depth > DRY_M and corner not in seen:
            seen.add(corner)
            found = [corner]
            for one in found:
                fresh = [n for n in neighbours[one] if depths[n] > DRY_M and n not in seen]
                seen.update(fresh)
                found += fresh
            yield tuple(found)


def _measured(
    surface: Surface, water_m: Sequence[float], gathered: Sequence[tuple[int, ...]]
) -> list[tuple[float, float]]:
    """Return the area, m², and the volume, m³, of the water of each hollow."""
    number_of = {corner: number for number, wet in enumerate(gathered) for corner in wet}
    areas, volumes = [0.0] * len(gathered), [0.0] * len(gathered)
    for triangle, area_m2 in zip(surface.triangles, surface.plan_areas_m2(), strict=True):
        corner = next((corner for corner in triangle if corner in number_of), None)
        if corner is not None:
            level = water_m[corner]
            share, mean_m = _water_in([level - surface.levels_m[n][2] for n in triangle])
            areas[number_of[corner]] += share * area_m2
            volumes[number_of[corner]] += mean_m * area_m2
    return list(zip(areas, volumes, strict=True))


def _water_in(below_m: Sequence[float]) -> tuple[float, float]:
    """Return the wet share of a triangle and the mean depth of water over all of it.

    The water's level is as far above each corner as given; at least one is below it. Where one
    corner is wet the water is a pyramid on the cut-off tip; where two are, the prism over the
    whole triangle less what the dry tip adds to it.

    >>> _water_in((0.03, 0.03, 0.03)), _water_in((0.03, -0.03, -0.03))
    ((1.0, 0.03), (0.25, 0.0025))
    """
    deep, middle, high = sorted(below_m, reverse=True)
    if high >= 0.0:
        return 1.0, (deep + middle + high) / 3.0
    if middle <= 0.0:
        tip = deep / (deep - middle) * deep / (deep - high)
        return tip, tip * deep / 3.0
    dry = high / (high - middle) * high / (high - deep)
    return 1.0 - dry, (deep + middle + high - dry * high) / 3.0

"""One hollow of a roof and the water in it, measured over flat triangles.

The water of a hollow is level, so over each triangle it is a prism, a pyramid or the difference of
the two, and its volume is exact for the surface.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from qa.trade.segments import Point
from qa.trade.surface import Surface

_DRY_M = 1e-9
"""Depth that is rounding and no water, m."""

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
        The hollows, the deepest first.
    """
    levels = surface.levels_m
    depths = [water - level[2] for water, level in zip(water_m, levels, strict=True)]
    number_of: dict[int, int] = {}
    lowest: list[int] = []
    for corner, depth in enumerate(depths):
        if depth > _DRY_M and corner not in number_of:
            wet = _touching(corner, neighbours, depths)
            number_of.update(dict.fromkeys(wet, len(lowest)))
            lowest.append(max(wet, key=lambda n: depths[n]))
    areas, volumes = [0.0] * len(lowest), [0.0] * len(lowest)
    for triangle, area_m2 in zip(surface.triangles, surface.plan_areas_m2(), strict=True):
        wet_corner = next((corner for corner in triangle if corner in number_of), None)
        if wet_corner is not None:
            level = water_m[wet_corner]
            below = [level - levels[corner][2] for corner in triangle]
            share, mean_m = _water_in(below)
            areas[number_of[wet_corner]] += share * area_m2
            volumes[number_of[wet_corner]] += mean_m * area_m2
    hollows = [
        Hollow(
            deepest_mm=depths[corner] * _MM_PER_M,
            area_m2=areas[number],
            volume_l=volumes[number] * _L_PER_M3,
            lowest_m=levels[corner][:2],
            spill_m=spill_m[corner],
        )
        for number, corner in enumerate(lowest)
    ]
    return tuple(sorted(hollows, key=lambda hollow: -hollow.deepest_mm))


def _touching(first: int, neighbours: Sequence[set[int]], depths: Sequence[float]) -> set[int]:
    found, ahead = {first}, [first]
    while ahead:
        for other in neighbours[ahead.pop()]:
            if depths[other] > _DRY_M and other not in found:
                found.add(other)
                ahead.append(other)
    return found


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

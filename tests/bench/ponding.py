"""How fast 10,000 levels are made a surface and its hollows found, and what the order saves.

The roof is invented: a fall of 1:80 with waves and the scatter of a level, and six openings.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterable, Set
from itertools import permutations
from math import sin

from qa.trade.drainage import Drains
from qa.trade.outline import Outline, RoofArea
from qa.trade.ponding import Flood, flood
from qa.trade.surface import Surface, surface_over
from tests.bench.line import BenchLine

_SECONDS_FOR_10_000 = 1.0
_STEP_M = 0.25


def run() -> Iterable[BenchLine]:
    """Times the whole way from levels to hollows, and the flood beside repeated sweeps."""
    whole = min(_timed(lambda: _flooded(100)) for _ in range(3))
    yield BenchLine(
        name="ponding on 10,000 levels",
        figure=whole,
        unit="s",
        reference=_SECONDS_FOR_10_000,
        ratio=whole / _SECONDS_FOR_10_000,
        bound=1.0,
    )
    surface, drains = _roof(100)
    at_the_eaves = {n for n, level in enumerate(surface.levels_m) if level[0] == 0.0}
    ours = min(_timed(lambda: flood(surface, drains)) for _ in range(3))
    swept = _timed(lambda: swept_water_m(surface, at_the_eaves))
    yield BenchLine(
        name="flood of 10,000 levels, beside sweeps until nothing falls",
        figure=ours,
        unit="s",
        reference=swept,
        ratio=ours / swept,
        bound=0.5,
    )


def swept_water_m(surface: Surface, drained: Set[int]) -> list[float]:
    """Find the same water naively: begin with too much, and sweep until nothing falls.

    A drained corner is dry; every other has the lowest of its neighbours' water, but never less
    than its ground.
    """
    ground = [level[2] for level in surface.levels_m]
    water = [ground[n] if n in drained else max(ground) for n in range(len(ground))]
    sides = {pair for a, b, c in surface.triangles for pair in permutations((a, b, c), 2)}
    falling = True
    while falling:
        falling = False
        for here, there in sides:
            level = max(ground[here], water[there])
            if level < water[here]:
                water[here], falling = level, True
    return water


def _flooded(across: int) -> Flood:
    return flood(*_roof(across))


def _roof(across: int) -> tuple[Surface, Drains]:
    chance = random.Random(1)
    far = (across - 1) * _STEP_M
    levels = [
        (x, y, 0.0125 * x + 0.02 * sin(x) * sin(y) + chance.gauss(0.0, 0.002))
        for x in (_STEP_M * place for place in range(across))
        for y in (_STEP_M * place for place in range(across))
    ]
    openings = tuple(_box(3.1 + 7.3 * (n % 3), 4.2 + 9.1 * (n // 3), 1.2, 0.9) for n in range(6))
    roof = RoofArea(outline=_box(0.0, 0.0, far, far), openings=openings)
    return surface_over(levels, roof), Drains(edges_m=(((0.0, 0.0), (0.0, far)),))


def _box(x: float, y: float, width: float, height: float) -> Outline:
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return Outline(points_m=corners)


def _timed(action: Callable[[], object]) -> float:
    begun = time.perf_counter()
    action()
    return time.perf_counter() - begun

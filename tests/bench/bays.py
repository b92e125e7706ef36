"""How fast a large roof with many openings is laid out in bays, straight and turned."""

from __future__ import annotations

import time
from collections.abc import Iterable

from qa.trade.bays import lay_out_bays
from qa.trade.outline import Outline, RoofArea
from tests.bench.line import BenchLine

_SECONDS = 0.2
_ROUNDS = 5


def run() -> Iterable[BenchLine]:
    """Times the layout of 2,000 m² with 40 openings."""
    roof = _roof()
    for angle_deg in (0.0, 33.0):
        seconds = min(_timed(roof, angle_deg) for _ in range(_ROUNDS))
        yield BenchLine(
            name=f"bays of 2,000 m² with 40 openings at {angle_deg:g} degrees",
            figure=seconds,
            unit="s",
            reference=_SECONDS,
            ratio=seconds / _SECONDS,
            bound=1.0,
        )


def _timed(roof: RoofArea, angle_deg: float) -> float:
    start = time.perf_counter()
    lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=0.05, bay_length_m=1.0, angle_deg=angle_deg)
    return time.perf_counter() - start


def _roof() -> RoofArea:
    corners = [(2.3 + 4.7 * column, 4.1 + 9.3 * row) for column in range(10) for row in range(4)]
    openings = tuple(
        Outline(points_m=((x, y), (x + 1.2, y), (x + 1.2, y + 1.1), (x, y + 1.1)))
        for x, y in corners
    )
    deck = Outline(points_m=((0, 0), (50, 0), (50, 40), (0, 40)))
    return RoofArea(outline=deck, openings=openings)

"""How fast a million dew points come, beside a second.

The readings are invented and span the whole domain.
"""

from __future__ import annotations

import time
from array import array
from collections.abc import Callable, Iterable

from qa.trade.dew_point import dew_points_c
from tests.bench.line import BenchLine

_READINGS = 1_000_000
_SECONDS = 1.0


def run() -> Iterable[BenchLine]:
    """Times the array path against the bound of a second."""
    air_c = array("d", ((place * 0.618033988749) % 70.0 - 20.0 for place in range(_READINGS)))
    humidity_pct = array("d", ((place * 0.414213562373) % 99.0 + 1.0 for place in range(_READINGS)))
    seconds = min(_timed(lambda: dew_points_c(air_c, humidity_pct)) for _ in range(3))
    yield BenchLine(
        name="a million dew points",
        figure=seconds,
        unit="s",
        reference=_SECONDS,
        ratio=seconds / _SECONDS,
        bound=1.0,
    )


def _timed(action: Callable[[], object]) -> float:
    begun = time.perf_counter()
    action()
    return time.perf_counter() - begun

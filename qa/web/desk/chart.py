"""A control chart drawn for the screen: points in order of time, centre, limits, signals.

It is drawn in the ink of the page, so that it reads in sun and dark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from qa.trade.control_charts import ControlChart

WIDTH, HEIGHT = 640.0, 150.0
_EDGE = 8.0
_DOT = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A point of the chart; one that a rule has found is drawn full and larger."""

    x: str
    y: str
    r: str
    is_signal: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartDrawing:
    """A chart as SVG writes it.

    Attributes:
        title: what it shows, for those who cannot see it.
        size: viewBox.
        line: through the points.
        centre: the centre line.
        limits: the limits, in steps where they go with the size of a sample.
        dots: the points.
    """

    title: str
    size: str
    line: str
    centre: str
    limits: tuple[str, ...]
    dots: tuple[Dot, ...]


def draw_chart(chart: ControlChart, title: str) -> ChartDrawing:
    """A chart; every value lies on it, the limits too."""
    values = (*chart.points, *chart.lower, *chart.upper, chart.centre)
    low, high = min(values), max(values)
    span = (high - low) or 1.0
    step = (WIDTH - 2 * _EDGE) / max(1, len(chart.points) - 1)
    found = {point for signal in chart.signals for point in signal.points}

    def x(number: float) -> float:
        return _EDGE + number * step

    def y(value: float) -> float:
        return HEIGHT - _EDGE - (value - low) / span * (HEIGHT - 2 * _EDGE)

    places = [(x(number), y(value)) for number, value in enumerate(chart.points)]
    return ChartDrawing(
        title=title,
        size=f"0 0 {WIDTH:g} {HEIGHT:g}",
        line=_line(places),
        centre=_line([(0.0, y(chart.centre)), (WIDTH, y(chart.centre))]),
        limits=tuple(
            _steps([y(value) for value in limits], step) for limits in (chart.lower, chart.upper)
        ),
        dots=tuple(
            Dot(
                x=f"{left:.1f}",
                y=f"{top:.1f}",
                r=f"{_DOT * (1.7 if number in found else 1.0):.1f}",
                is_signal=number in found,
            )
            for number, (left, top) in enumerate(places)
        ),
    )


def _line(places: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{left:.1f} {top:.1f}" for left, top in places)


def _steps(levels: Sequence[float], step: float) -> str:
    """A limit over the points: one line where it is the same for all, else a step at each."""
    if len({f"{level:.1f}" for level in levels}) == 1:
        return _line([(0.0, levels[0]), (WIDTH, levels[0])])
    places: list[tuple[float, float]] = []
    for number, level in enumerate(levels):
        middle = _EDGE + number * step
        places += [(max(0.0, middle - step / 2), level), (min(WIDTH, middle + step / 2), level)]
    return _line(places)

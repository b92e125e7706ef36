"""Control charts across jobs: is a crew, a lot or a month like the others, or not?

A chart is a value: the points, a centre line, limits at three standard deviations for each point,
and the signals of the run rules. It says that something has changed, never that a roof is bad.
Constants are exact; the rounded ones of hand tables (2.66, 3.267) differ in the fourth digit.

Source: W. A. Shewhart's charts as in the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3
(clauses from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import fsum, pi, sqrt

from qa.errors import DomainError
from qa.trade.domain import require_finite, require_positive
from qa.trade.run_rules import ALL_RULES, RunRule, Signal, signals_in

D2 = 2.0 / sqrt(pi)
"""Mean range of two normal figures, in their standard deviation: 1.12838."""

D3_OF_RANGE = sqrt(2.0 - 4.0 / pi)
"""Standard deviation of the range of two normal figures: d3 = 0.85250."""

E2 = 3.0 / D2
"""Limits of individuals, in mean moving ranges: 2.65868."""

D4 = 1.0 + 3.0 * D3_OF_RANGE / D2
"""Upper limit of the moving range, in mean moving ranges: 3.26653. The lower, D3, is 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlChart:
    """Points, centre and limits, and what the run rules found.

    Attributes:
        points: what is drawn, in the order of time.
        centre: the centre line.
        sigmas: standard deviation of each point.
        lower: lower limit at each point.
        upper: upper limit at each point.
        signals: what the rules found; a point on a limit is not beyond it.
    """

    points: tuple[float, ...]
    centre: float
    sigmas: tuple[float, ...]
    lower: tuple[float, ...]
    upper: tuple[float, ...]
    signals: tuple[Signal, ...]

    @property
    def beyond(self) -> tuple[int, ...]:
        """The points beyond their limits, from 0."""
        return tuple(
            point
            for signal in self.signals
            if signal.rule is RunRule.BEYOND_3_SIGMA
            for point in signal.points
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class IndividualsCharts:
    """Chart of individuals and the chart of their moving ranges.

    Attributes:
        individuals: the figures themselves.
        moving_ranges: |x[i] - x[i-1]|; point i lies between individuals i and i + 1.
    """

    individuals: ControlChart
    moving_ranges: ControlChart


def individuals_charts(
    values: Sequence[float], rules: Collection[RunRule] = ALL_RULES
) -> IndividualsCharts:
    """Return the charts of individuals and moving ranges.

    With the mean moving range MR of two neighbours, sigma = MR / d2; the limits of individuals
    are mean -+ 3 sigma, those of the ranges 0 and D4 MR.

    Args:
        values: at least two figures of one kind, finite, in the order of time.
        rules: the run rules for individuals; ranges are asked only for the limit.

    Raises:
        DomainError: fewer than two figures, or one that is not finite.

    Source: NIST/SEMATECH e-Handbook 6.3.2.2 (from memory).

    >>> kg_per_m2 = (1.52, 1.47, 1.55, 1.49, 1.51, 1.46)
    >>> chart = individuals_charts(kg_per_m2).individuals
    >>> round(chart.centre, 3), round(chart.lower[0], 3), round(chart.upper[0], 3)
    (1.5, 1.362, 1.638)
    """
    require_points(values, "figures", 2)
    ranges = tuple(abs(later - sooner) for sooner, later in pairwise(values))
    mean_range = fsum(ranges) / len(ranges)
    sigma = mean_range / D2
    return IndividualsCharts(
        individuals=chart_about(values, _mean(values), (sigma,) * len(values), rules),
        moving_ranges=chart_about(
            ranges,
            mean_range,
            (sigma * D3_OF_RANGE,) * len(ranges),
            (RunRule.BEYOND_3_SIGMA,),
            least=0.0,
        ),
    )


def ewma_chart(
    values: Sequence[float],
    *,
    target: float,
    sigma: float,
    weight: float = 0.3,
    limits_settle: bool = False,
) -> ControlChart:
    """Return the chart of the exponentially weighted moving average, which sees small drifts.

    z[0] = target, z[i] = weight x[i] + (1 - weight) z[i-1]; its standard deviation settles at
    sigma sqrt(weight / (2 - weight)), and is sqrt(1 - (1 - weight)^(2 i)) of that at point i.

    Args:
        values: at least one figure, finite, in the order of time.
        target: what the figures should be, finite.
        sigma: standard deviation of one figure, from a time when all was well, above 0.
        weight: weight of the newest figure, above 0 to 1; 0.2 to 0.3 is usual.
        limits_settle: whether the first points get their own, narrower limits.

    Raises:
        DomainError: a figure outside its range.

    Source: NIST/SEMATECH e-Handbook 6.3.2.4 (from memory), whose limits are the settled ones.

    >>> chart = ewma_chart((52.0, 47.0, 53.0), target=50.0, sigma=2.0539)
    >>> [round(point, 2) for point in chart.points], round(chart.upper[0], 4)
    ([50.6, 49.52, 50.56], 52.5884)
    """
    require_points(values, "figures", 1)
    require_finite("target", target)
    require_positive("standard deviation of one figure", sigma)
    if not 0.0 < weight <= 1.0:
        raise DomainError("weight of the newest figure", weight, "above 0 to 1")
    averages, average = [], target
    for value in values:
        average = weight * value + (1.0 - weight) * average
        averages.append(average)
    settled = sigma * sqrt(weight / (2.0 - weight))
    sigmas = tuple(
        settled * sqrt(1.0 - (1.0 - weight) ** (2 * place)) if limits_settle else settled
        for place in range(1, len(averages) + 1)
    )
    return chart_about(averages, target, sigmas, (RunRule.BEYOND_3_SIGMA,))


def chart_about(
    points: Sequence[float],
    centre: float,
    sigmas: tuple[float, ...],
    rules: Collection[RunRule],
    *,
    least: float | None = None,
    most: float | None = None,
) -> ControlChart:
    """Return the chart of points about a centre, with limits at three standard deviations.

    Args:
        points: what is drawn, in the order of time.
        centre: the centre line.
        sigmas: standard deviation of each point; where it is 0 all points lie on the centre.
        rules: the run rules.
        least: what no limit lies below, such as 0 for counts.
        most: what no limit lies above, such as 1 for shares.
    """
    lower = [centre - 3.0 * sigma for sigma in sigmas]
    upper = [centre + 3.0 * sigma for sigma in sigmas]
    distances = [
        (point - centre) / sigma if sigma > 0.0 else 0.0
        for point, sigma in zip(points, sigmas, strict=True)
    ]
    return ControlChart(
        points=tuple(points),
        centre=centre,
        sigmas=sigmas,
        lower=tuple(lower if least is None else (max(least, limit) for limit in lower)),
        upper=tuple(upper if most is None else (min(most, limit) for limit in upper)),
        signals=signals_in(distances, rules),
    )


def _mean(values: Sequence[float]) -> float:
    """Return the mean about the first figure, so that a large offset costs no digit."""
    return values[0] + fsum(value - values[0] for value in values) / len(values)


def require_points(values: Sequence[float], what: str, least: int) -> None:
    """Refuse too few figures, or one that is not finite.

    Raises:
        DomainError: the sentence names the figure by its place, from 1.
    """
    if len(values) < least:
        raise DomainError(f"number of {what}", len(values), f"{least} or more")
    for place, value in enumerate(values, start=1):
        require_finite(f"figure {place}", value)

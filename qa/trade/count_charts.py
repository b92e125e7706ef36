"""Control charts of counts: defects a unit, defects a square metre, and shares that failed.

A count's spread follows from its mean, so these charts need no ranges.

Source: the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3 (clauses from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import fsum, sqrt

from qa.errors import DomainError
from qa.trade.control_charts import ControlChart, chart_about, require_points
from qa.trade.domain import require_positive
from qa.trade.run_rules import RULES_OF_COUNTS, RunRule


def c_chart(counts: Sequence[int], rules: Collection[RunRule] = RULES_OF_COUNTS) -> ControlChart:
    """Return the chart of counts over units of one size, such as pinholes a roof bay.

    Centre c = mean count; sigma = sqrt(c), for counts follow Poisson; a limit below 0 is 0.

    Args:
        counts: at least one count, each a whole number, 0 or more.
        rules: the run rules.

    Raises:
        DomainError: no count, or one that is negative or not whole.

    Source: NIST/SEMATECH e-Handbook 6.3.3.1 (from memory).

    >>> chart = c_chart((14, 18, 16, 12, 20))
    >>> chart.centre, chart.lower[0], chart.upper[0]
    (16.0, 4.0, 28.0)
    """
    return u_chart(counts, (1.0,) * len(counts), rules)


def u_chart(
    counts: Sequence[int],
    sizes: Sequence[float],
    rules: Collection[RunRule] = RULES_OF_COUNTS,
) -> ControlChart:
    """Return the chart of counts per unit over samples of different size: pinholes a square metre.

    Centre u = sum of counts / sum of sizes; sigma = sqrt(u / size); a limit below 0 is 0.

    Args:
        counts: at least one count, each a whole number, 0 or more.
        sizes: the size over which each was counted, such as m², above 0.
        rules: the run rules, on distances in each point's own sigma.

    Raises:
        DomainError: no count, a count that is negative or not whole, a size that is not above 0,
            or not as many sizes as counts.

    Source: K. Ishikawa's u-chart (from memory).

    >>> chart = u_chart((4, 12), (2.0, 6.0))
    >>> chart.centre, chart.points, round(chart.upper[1], 3)
    (2.0, (2.0, 2.0), 3.732)
    """
    _require_counts(counts)
    _require_as_many(counts, sizes)
    for size in sizes:
        require_positive("size of a sample", size)
    centre = sum(counts) / fsum(sizes)
    points = tuple(count / size for count, size in zip(counts, sizes, strict=True))
    return chart_about(
        points, centre, tuple(sqrt(centre / size) for size in sizes), rules, least=0.0
    )


def p_chart(
    failed: Sequence[int],
    inspected: Sequence[int],
    rules: Collection[RunRule] = RULES_OF_COUNTS,
) -> ControlChart:
    """Return the chart of the share that failed, such as stages outside limits of all stages.

    Centre p = sum of failed / sum of inspected; sigma = sqrt(p (1 - p) / inspected), for the
    number that failed is binomial; limits are kept within 0 and 1.

    Args:
        failed: how many failed in each sample, whole, 0 or more.
        inspected: how many each sample held, whole, 1 or more.
        rules: the run rules, on distances in each point's own sigma.

    Raises:
        DomainError: no sample, a number out of its range, more failed than inspected, or not as
            many of the one as of the other.

    Source: NIST/SEMATECH e-Handbook 6.3.3.2 (from memory).

    >>> chart = p_chart((12, 15, 8, 15), (50, 50, 50, 50))
    >>> chart.centre, chart.points, round(chart.upper[0], 4)
    (0.25, (0.24, 0.3, 0.16, 0.3), 0.4337)
    """
    _require_counts(failed)
    _require_as_many(failed, inspected)
    for bad, count in zip(failed, inspected, strict=True):
        if not (count == int(count) and count >= 1):
            raise DomainError("number inspected", count, "a whole number, 1 or more")
        if bad > count:
            raise DomainError("number failed", bad, f"{count} or less, the number inspected")
    centre = sum(failed) / sum(inspected)
    points = tuple(bad / count for bad, count in zip(failed, inspected, strict=True))
    sigmas = tuple(sqrt(centre * (1.0 - centre) / count) for count in inspected)
    return chart_about(points, centre, sigmas, rules, least=0.0, most=1.0)


def _require_counts(counts: Sequence[int]) -> None:
    require_points(counts, "counts", 1)
    for place, count in enumerate(counts, start=1):
        if count < 0 or count != int(count):
            raise DomainError(f"count {place}", count, "a whole number, 0 or more")


def _require_as_many(counts: Sequence[int], sizes: Sequence[float]) -> None:
    if len(counts) != len(sizes):
        raise DomainError("number of samples", len(sizes), f"{len(counts)}, as many as counts")

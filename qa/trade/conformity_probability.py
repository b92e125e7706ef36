"""How probable it is that the true value behind a measured one keeps its limits."""

from __future__ import annotations

from math import erfc, inf, sqrt

from qa.trade.conformity import DecisionRule, Limits, Verdict, judge
from qa.trade.domain import require_not_negative


def conformity_probability(value: float, *, standard_uncertainty: float, limits: Limits) -> float:
    """Return the probability that the true value keeps its limits.

    p = F((upper - y) / u) - F((lower - y) / u), F the standard normal distribution, with little
    known beforehand. It decides nothing: the verdict is `judge`'s alone.

    Args:
        value: y, the measured value in the unit of the limits.
        standard_uncertainty: u, in the same unit, nought or more; nought makes it 0 or 1.
        limits: a lower limit, an upper limit or both.

    Raises:
        DomainError: a figure lies outside its range, or there is neither limit.

    Source: JCGM 106:2012, 7.2 and 7.3 (clause numbers from memory).

    >>> round(
    ...     conformity_probability(-5.47, standard_uncertainty=0.05, limits=Limits(upper=-5.40)), 4
    ... )
    0.9192
    """
    require_not_negative("standard uncertainty", standard_uncertainty)
    simple = judge(value, limits=limits, expanded_uncertainty=None, rule=DecisionRule.SIMPLE)
    if standard_uncertainty == 0.0:
        return 1.0 if simple is Verdict.WITHIN else 0.0
    below = -inf if limits.lower is None else (limits.lower - value) / standard_uncertainty
    above = inf if limits.upper is None else (limits.upper - value) / standard_uncertainty
    if below > 0.0:  # the difference of two small tails, not of two numbers close to 1
        return _upper_tail(below) - _upper_tail(above)
    return _upper_tail(-above) - _upper_tail(-below)


def _upper_tail(deviates: float) -> float:
    """The share of a standard normal distribution above so many standard deviations."""
    return erfc(deviates / sqrt(2.0)) / 2.0

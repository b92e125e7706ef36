"""Verdict on a measured value against its limits, with its uncertainty.

JCGM 106:2012 names the two rules. A verdict is a value: out of limits, undecided and not recorded
are results. Missing data is never a pass and never a fail.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf
from typing import Self

from qa.errors import DomainError
from qa.trade.domain import require_finite, require_not_negative

RELATIVE_NOISE = 1e-9
"""Relative distance at a limit that is taken for noise of binary arithmetic, not for a fault."""


class Verdict(StrEnum):
    """What was found of one check.

    Attributes:
        WITHIN: the value keeps its limits.
        OUTSIDE: the value breaks a limit.
        UNDECIDED: under guarded acceptance, the limit lies inside the value's uncertainty.
        NOT_RECORDED: there is no value.
        NOT_APPLICABLE: the check does not hold here, and a person has written why.
    """

    WITHIN = "within"
    OUTSIDE = "outside"
    UNDECIDED = "undecided"
    NOT_RECORDED = "not_recorded"
    NOT_APPLICABLE = "not_applicable"


class DecisionRule(StrEnum):
    """How the uncertainty counts.

    Attributes:
        SIMPLE: simple acceptance, JCGM 106 8.2: the value alone is compared.
        GUARDED: guarded acceptance, JCGM 106 8.3, with a guard band of the expanded uncertainty.
    """

    SIMPLE = "simple"
    GUARDED = "guarded"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The least and the greatest accepted value, both themselves accepted.

    Where both are None there is nothing to judge by, as for a check answered by yes or no.

    Attributes:
        lower: least accepted value, or None where there is no lower limit.
        upper: greatest accepted value, or None where there is no upper limit.

    Raises:
        DomainError: a limit is not finite, or the lower is above the upper.
    """

    lower: float | None = None
    upper: float | None = None

    def __post_init__(self) -> None:
        if self.lower is not None:
            require_finite("lower limit", self.lower)
        if self.upper is not None:
            require_finite("upper limit", self.upper)
        if self.lower is not None and self.upper is not None and self.lower > self.upper:
            raise DomainError("lower limit", self.lower, f"{self.upper:g} or less, the upper limit")

    @classmethod
    def about(cls, expected: float, *, below_pct: float | None, above_pct: float | None) -> Self:
        """Return the band about an expected value.

        Args:
            expected: the expected value, nought or more.
            below_pct: how much less is accepted, % of it, nought or more; None: no lower limit.
            above_pct: how much more is accepted, % of it, nought or more; None: no upper limit.

        Raises:
            DomainError: a figure is negative or not finite.

        >>> Limits.about(2.0, below_pct=25.0, above_pct=50.0)
        Limits(lower=1.5, upper=3.0)
        """
        require_not_negative("expected value", expected)
        lower = upper = None
        if below_pct is not None:
            require_not_negative("accepted below the expected value, %", below_pct)
            lower = expected - expected * below_pct / 100.0
        if above_pct is not None:
            require_not_negative("accepted above the expected value, %", above_pct)
            upper = expected + expected * above_pct / 100.0
        return cls(lower=lower, upper=upper)


def judge(
    value: float | None,
    *,
    limits: Limits,
    expanded_uncertainty: float | None,
    rule: DecisionRule,
) -> Verdict:
    """Return the verdict on a value.

    Simple acceptance ignores the uncertainty. Guarded acceptance takes the guard band w = U:
    within only where the whole of value - U to value + U keeps the limits, outside only where
    the value breaks a limit by more than U, undecided between. Without a stated uncertainty
    the guarded rule decides nothing; state 0 for an exact count.

    A value on a limit is within. A comparison that misses by no more than `RELATIVE_NOISE`
    (1e-9) of the limit's own size is taken as equal, for 30 * 1.15 comes out of binary arithmetic
    as 34.49999... or 34.50000...; a limit of 0 is exact.

    Args:
        value: the measured value in the unit of the limits, or None where none was recorded.
        limits: the limits.
        expanded_uncertainty: U (k = 2) in the same unit, nought or more, or None: not stated.
        rule: simple or guarded acceptance.

    Raises:
        DomainError: the value is not finite, the uncertainty is negative or not finite, or there
            is neither limit: what limits nothing would pass everything.

    Source: JCGM 106:2012, 8.2 and 8.3 (clause numbers from memory).

    >>> judge(
    ...     1.70, limits=Limits(upper=2.0), expanded_uncertainty=0.32817, rule=DecisionRule.GUARDED
    ... ).value
    'undecided'
    >>> judge(
    ...     34.500000000000004,
    ...     limits=Limits(lower=25.5, upper=34.5),
    ...     expanded_uncertainty=None,
    ...     rule=DecisionRule.SIMPLE,
    ... ).value
    'within'
    """
    if value is None:
        return Verdict.NOT_RECORDED
    if not -inf < value < inf:
        raise DomainError("value to judge", value, "a finite number")
    if expanded_uncertainty is not None and not 0.0 <= expanded_uncertainty < inf:
        raise DomainError("expanded uncertainty", expanded_uncertainty, "0 or more")
    room = _room_inside(value, limits)
    if rule is DecisionRule.SIMPLE:
        return Verdict.WITHIN if room >= 0.0 else Verdict.OUTSIDE
    if expanded_uncertainty is None:
        return Verdict.UNDECIDED
    if room >= expanded_uncertainty:
        return Verdict.WITHIN
    return Verdict.OUTSIDE if room < -expanded_uncertainty else Verdict.UNDECIDED


def _room_inside(value: float, limits: Limits) -> float:
    """Return the distance to the nearest limit, positive inside, eased by the noise."""
    room = inf
    lower, upper = limits.lower, limits.upper
    if lower is not None:
        room = value - lower + RELATIVE_NOISE * abs(lower)
    if upper is not None:
        above = upper - value + RELATIVE_NOISE * abs(upper)
        room = above if above < room else room
    if room == inf:
        raise DomainError("pair of limits", "empty", "a lower limit, an upper limit or both")
    return room

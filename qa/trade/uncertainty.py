"""Measured quantities: a value with what each source of error does to it, through any arithmetic.

First-order propagation of JCGM 100:2008 (GUM), clause 5. A quantity carries the effect of every
source of error on it, c * u with its sign. Effects of one source add with their signs, as they are
the same error twice; effects of different sources are independent and add in quadrature. So two
weighings on one scale are fully correlated as soon as both name that scale, and nothing has to be
remembered of how a quantity came about. Clause numbers are from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import fsum, hypot, inf, sqrt
from statistics import fmean, stdev

from qa.errors import DomainError
from qa.trade.domain import require_finite, require_not_negative

COVERAGE_FACTOR = 2.0
"""k of every expanded uncertainty here: about 95 % of a normal distribution. JCGM 100, 6.2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one source of error does to a value.

    Attributes:
        source: the source's name, such as "scale".
        signed_uncertainty: sensitivity times standard uncertainty, in the value's unit; its sign
            says which way the value goes when the source's error is positive.

    Raises:
        DomainError: the uncertainty is not finite.
    """

    source: str
    signed_uncertainty: float

    def __post_init__(self) -> None:
        if not -inf < self.signed_uncertainty < inf:
            raise DomainError(
                f"effect of {self.source}", self.signed_uncertainty, "a finite number"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """How much of a value's uncertainty one source makes.

    Attributes:
        name: the source's name.
        standard_uncertainty: |c| u, in the value's unit.
        share: its square over the square of the combined standard uncertainty, 0 to 1.
    """

    name: str
    standard_uncertainty: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value and the effects of its sources of error.

    Attributes:
        value: the best estimate.
        effects: one for each source, none of them twice; empty for an exact value.

    Raises:
        DomainError: the value is not finite, or a source has two effects.

    >>> tare = Measured.expanded(2.0, source="scale", uncertainty=0.06)
    >>> tare.standard_uncertainty
    0.03
    """

    value: float
    effects: tuple[Effect, ...] = ()

    def __post_init__(self) -> None:
        require_finite("measured value", self.value)
        if len(self.effects) < 2:
            return
        sources = [effect.source for effect in self.effects]
        if len(set(sources)) < len(sources):
            raise DomainError("list of effects", ", ".join(sources), "one for each source")

    @classmethod
    def standard(cls, value: float, *, source: str, uncertainty: float) -> Measured:
        """Return a value with one source of error.

        Args:
            value: the estimate.
            source: the source's name.
            uncertainty: standard uncertainty, in the value's unit, nought or more.

        Raises:
            DomainError: a figure lies outside its range.
        """
        if not 0.0 <= uncertainty < inf:
            raise DomainError(f"uncertainty from {source}", uncertainty, "0 or more")
        effects = (Effect(source=source, signed_uncertainty=uncertainty),) if uncertainty else ()
        return cls(value=value, effects=effects)

    @classmethod
    def expanded(cls, value: float, *, source: str, uncertainty: float) -> Measured:
        """Return a value with one source of error, told as expanded uncertainty (k = 2).

        Args:
            value: the estimate.
            source: the source's name.
            uncertainty: expanded uncertainty, k = 2, in the value's unit, nought or more.

        Raises:
            DomainError: a figure lies outside its range.
        """
        return cls.standard(value, source=source, uncertainty=uncertainty / COVERAGE_FACTOR)

    @property
    def standard_uncertainty(self) -> float:
        """Combined standard uncertainty, in the value's unit. Source: JCGM 100, 5.1.2."""
        return hypot(*(effect.signed_uncertainty for effect in self.effects))

    @property
    def expanded_uncertainty(self) -> float:
        """Expanded uncertainty, k = 2, in the value's unit. Source: JCGM 100, 6.2."""
        return COVERAGE_FACTOR * self.standard_uncertainty

    @property
    def contributions(self) -> tuple[Contribution, ...]:
        """What each source contributes, the largest first; their shares add up to 1."""
        combined = self.standard_uncertainty
        found = (
            Contribution(
                name=effect.source,
                standard_uncertainty=abs(effect.signed_uncertainty),
                share=(effect.signed_uncertainty / combined) ** 2,
            )
            for effect in self.effects
            if effect.signed_uncertainty
        )
        return tuple(sorted(found, key=lambda each: -each.standard_uncertainty))


def mean_of(readings: Sequence[float], *, source: str) -> Measured:
    """Return the mean of repeated readings of one thing, known as well as they scatter.

    With s the sample's standard deviation, divisor n - 1: u = s / sqrt(n).

    Args:
        readings: two or more, finite, independent of one another.
        source: what makes them scatter.

    Raises:
        DomainError: there are fewer than two, or one is not finite.

    Source: JCGM 100:2008, 4.2, evaluation of type A.

    >>> round(mean_of((2.1, 2.3, 2.2), source="gauge").standard_uncertainty, 4)
    0.0577
    """
    if len(readings) < 2:
        raise DomainError("number of repeated readings", len(readings), "2 or more")
    for reading in readings:
        require_finite("repeated reading", reading)
    scatter = stdev(readings) / sqrt(len(readings))
    return Measured.standard(fmean(readings), source=source, uncertainty=scatter)


def function_of(value: float, *inputs: tuple[Measured, float]) -> Measured:
    """Return a quantity that was computed from others.

    The effect of a source on the result is the sum, over the inputs, of the sensitivity times the
    source's effect on that input.

    Args:
        value: the function's value at the inputs' values.
        inputs: each input with its sensitivity, the partial derivative of the function with
            respect to it, finite.

    Raises:
        DomainError: a figure is not finite.

    Source: JCGM 100:2008, 5.1.2 and, for inputs that share a source, 5.2.2 with F.1.2.

    >>> first = Measured.standard(5.0, source="scale", uncertainty=0.03)
    >>> again = Measured.standard(4.0, source="scale", uncertainty=0.03)
    >>> function_of(9.0, (first, 1.0), (again, 1.0)).standard_uncertainty
    0.06
    """
    total: dict[str, float] = {}
    for measured, sensitivity in inputs:
        for effect in measured.effects:
            part = sensitivity * effect.signed_uncertainty
            total[effect.source] = total.get(effect.source, 0.0) + part
    effects = (Effect(source=source, signed_uncertainty=signed) for source, signed in total.items())
    return Measured(value=value, effects=tuple(effects))


def sum_of(terms: Iterable[Measured]) -> Measured:
    """Return a + b + ...; no terms make an exact 0. Sensitivities: 1 each.

    >>> parts = [
    ...     Measured.standard(1.0, source=name, uncertainty=u)
    ...     for name, u in (("scale", 3.0), ("tape", 4.0))
    ... ]
    >>> sum_of(parts).standard_uncertainty
    5.0
    """
    listed = tuple(terms)
    return function_of(fsum(term.value for term in listed), *((term, 1.0) for term in listed))


def difference(minuend: Measured, subtrahend: Measured) -> Measured:
    """Return a - b. Sensitivities: 1 and -1; what both have from one source cancels out."""
    value = minuend.value - subtrahend.value
    return function_of(value, (minuend, 1.0), (subtrahend, -1.0))


def product(first: Measured, second: Measured) -> Measured:
    """Return a b. Sensitivities: b and a.

    >>> side = Measured.standard(10.0, source="tape", uncertainty=0.1)
    >>> product(side, side).standard_uncertainty
    2.0
    """
    value = first.value * second.value
    return function_of(value, (first, second.value), (second, first.value))


def quotient(dividend: Measured, divisor: Measured) -> Measured:
    """Return a / b. Sensitivities: 1 / b and -a / b^2.

    Raises:
        DomainError: the divisor is nought.

    >>> resin = Measured.standard(30.0, source="scale", uncertainty=0.3)
    >>> area = Measured.standard(20.0, source="tape", uncertainty=0.1)
    >>> rate = quotient(resin, area)
    >>> [(each.name, round(each.share, 2)) for each in rate.contributions]
    [('scale', 0.8), ('tape', 0.2)]
    """
    if divisor.value == 0.0:
        raise DomainError("divisor", divisor.value, "other than 0")
    value = dividend.value / divisor.value
    return function_of(value, (dividend, 1.0 / divisor.value), (divisor, -value / divisor.value))


def rounded_uncertainty(uncertainty: float) -> float:
    """Return an uncertainty to two significant digits, as it is printed.

    Args:
        uncertainty: nought or more.

    Raises:
        DomainError: it is negative or not finite.

    Source: JCGM 100:2008, 7.2.6.

    >>> rounded_uncertainty(0.033541)
    0.034
    """
    require_not_negative("uncertainty", uncertainty)
    return float(f"{uncertainty:.2g}")

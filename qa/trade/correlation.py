"""Quantities that are correlated because they come from one experiment or one fit.

What `qa.trade.uncertainty` needs of them is a set of independent sources that makes them so.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import fsum, sqrt

from qa.errors import DomainError
from qa.trade.uncertainty import Effect, Measured

_ROUNDING = 1e-9
"""Deficit of a correlation matrix that is rounding and not a contradiction."""


def correlated(
    values: Sequence[float],
    *,
    source: str,
    uncertainties: Sequence[float],
    coefficients: Sequence[Sequence[float]],
) -> tuple[Measured, ...]:
    """Return quantities that are correlated with one another, as those of one experiment are.

    The correlation matrix is split into independent parts, R = L L' with L lower triangular, and
    each part becomes a source of its own, named `source` and a number. What they do to a result
    together is exact; how they share it among them has no meaning.

    Args:
        values: the estimates.
        source: what they have in common.
        uncertainties: their standard uncertainties, nought or more.
        coefficients: r of the i-th with the j-th, -1 to 1, 1 on the diagonal; the part below the
            diagonal is read.

    Raises:
        DomainError: the coefficients contradict one another.

    Source: JCGM 100:2008, 5.2.2; the split is Cholesky's.

    >>> voltage, current = correlated(
    ...     (4.999, 19.661),
    ...     source="run",
    ...     uncertainties=(0.0032, 0.0095),
    ...     coefficients=((1.0, -0.36), (-0.36, 1.0)),
    ... )
    >>> round(correlation(voltage, current), 2)
    -0.36
    """
    rows: list[list[float]] = []
    for index, row in enumerate(coefficients):
        split: list[float] = []
        for column, earlier in enumerate(rows):
            shared = fsum(a * b for a, b in zip(split, earlier, strict=False))
            pivot = earlier[column]
            split.append((row[column] - shared) / pivot if pivot else 0.0)
        left = 1.0 - fsum(part * part for part in split)
        if left < -_ROUNDING:
            raise DomainError(f"row {index + 1} of the correlations", left, "free of contradiction")
        rows.append([*split, sqrt(max(left, 0.0))])
    return tuple(
        Measured(
            value=value,
            effects=tuple(
                Effect(source=f"{source} {number}", signed_uncertainty=uncertainty * part)
                for number, part in enumerate(row, start=1)
            ),
        )
        for value, uncertainty, row in zip(values, uncertainties, rows, strict=True)
    )


def correlation(first: Measured, second: Measured) -> float:
    """Return r of two quantities, -1 to 1, from the sources that they share; 0 for exact ones.

    Source: JCGM 100:2008, 5.2.2.
    """
    of_first = {effect.source: effect.signed_uncertainty for effect in first.effects}
    covariance = fsum(
        of_first.get(effect.source, 0.0) * effect.signed_uncertainty for effect in second.effects
    )
    if covariance == 0.0:
        return 0.0
    return covariance / (first.standard_uncertainty * second.standard_uncertainty)

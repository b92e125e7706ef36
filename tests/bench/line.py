"""The one line that a benchmark prints: our figure, the reference's, and the bound between them."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchLine:
    """One figure measured beside a reference in the same run.

    Attributes:
        name: what was measured, such as "pack of 120 photos".
        figure: ours, in `unit`.
        unit: the unit of both figures, such as "s".
        reference: the reference's, in `unit`.
        ratio: ours to the reference's, or whatever ratio the bound speaks of.
        bound: the limit of the ratio.
        at_most: whether the ratio must stay at or below the bound, or else at or above it.
    """

    name: str
    figure: float
    unit: str
    reference: float
    ratio: float
    bound: float
    at_most: bool = True

    @property
    def holds(self) -> bool:
        """Whether the bound holds; a ratio that is not a number never does."""
        if math.isnan(self.ratio):
            return False
        return self.ratio <= self.bound if self.at_most else self.ratio >= self.bound

    def __str__(self) -> str:
        sign = "≤" if self.at_most else "≥"
        verdict = "holds" if self.holds else "does not hold"
        return (
            f"{self.name}: {_figure(self.figure)} {self.unit}, "
            f"reference {_figure(self.reference)} {self.unit}, "
            f"ratio {_figure(self.ratio)}, bound {sign} {_figure(self.bound)}, {verdict}"
        )


def _figure(value: float) -> str:
    """Write a figure to four significant digits, without an exponent where it can be read so."""
    return f"{value:.4g}"

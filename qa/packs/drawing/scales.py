"""Scales: of a plan, of its bar, and of the axes of a chart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from math import ceil, floor, log10

_FIRST_SCALES = (20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750)
_NEXT_SCALES = (1000, 1250, 1500, 2000, 2500, 3000, 4000, 5000, 7500)


def plan_scales() -> Iterator[int]:
    """Yield the denominators of a plan's scale, the largest drawing first, without end.

    >>> from itertools import islice
    >>> list(islice(plan_scales(), 7))
    [20, 25, 50, 75, 100, 125, 150]
    """
    yield from _FIRST_SCALES
    for power in count():
        for scale in _NEXT_SCALES:
            yield scale * 10**power


def round_step(least: float) -> float:
    """Return the smallest of 1, 2, 5, 10, 20 … and their tenths that is at least a figure.

    >>> round_step(0.3), round_step(11), round_step(5.0)
    (0.5, 20.0, 5.0)
    """
    power = 10.0 ** floor(log10(least))
    for digit in (1.0, 2.0, 5.0):
        if digit * power >= least * (1.0 - 1e-9):
            return digit * power
    return 10.0 * power


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """A straight scale from a quantity to millimetres on the sheet.

    Attributes:
        low: the quantity at its beginning.
        high: the quantity at its end, above the beginning.
        from_mm: where it begins on the sheet, mm.
        to_mm: where it ends on the sheet, mm; a rising axis ends at a smaller figure.
    """

    low: float
    high: float
    from_mm: float
    to_mm: float

    def at(self, value: float) -> float:
        """Return where a value lies, mm; beyond its ends too."""
        share = (value - self.low) / (self.high - self.low)
        return self.from_mm + share * (self.to_mm - self.from_mm)

    def kept(self, value: float) -> float:
        """Return where a value lies, mm, or the end that it lies beyond."""
        return self.at(min(max(value, self.low), self.high))

    def ticks(self, apart_mm: float) -> tuple[float, ...]:
        """Return round values along the axis, at least a distance apart on the sheet."""
        length_mm = abs(self.to_mm - self.from_mm)
        step = round_step((self.high - self.low) * apart_mm / length_mm)
        first, last = ceil(self.low / step - 1e-9), floor(self.high / step + 1e-9)
        return tuple(step * index for index in range(first, last + 1))


def widened(low: float, high: float, least: float) -> tuple[float, float]:
    """Return a range at least so wide, on round ends of a fifth of it.

    >>> widened(9.8, 21.3, 10.0)
    (5.0, 25.0)
    """
    spread = max(high - low, least)
    middle = (low + high) / 2.0
    step = round_step(spread / 5.0)
    low, high = min(low, middle - spread / 2.0), max(high, middle + spread / 2.0)
    return step * floor(low / step + 1e-9), step * ceil(high / step - 1e-9)


def tick_text(value: float) -> str:
    """Return a tick's value with a true minus sign and no false digits.

    >>> tick_text(-5.0), tick_text(0.30000000000000004)
    ('−5', '0.3')
    """
    text = f"{abs(value):.6g}"
    return f"−{text}" if value < 0 else text

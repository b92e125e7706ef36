"""Run rules: what in a row of figures is too orderly, or too far out, to be chance.

Each rule is named by what it says. All speak of points as their distance from the centre line in
standard deviations, so they serve every kind of control chart.

Source: L. S. Nelson, The Shewhart control chart: tests for special causes, Journal of Quality
Technology 16 (1984), from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from qa.trade.domain import require_finite

ON_LINE = 1e-9
"""Distance from a line, in standard deviations, that is rounding: such a point is on the line."""


class RunRule(StrEnum):
    """The eight rules; each value is the rule in words."""

    BEYOND_3_SIGMA = "one point beyond 3 sigma"
    NINE_ON_ONE_SIDE = "9 points in a row on one side of the centre"
    SIX_RISING_OR_FALLING = "6 points in a row rising, or falling"
    FOURTEEN_ALTERNATING = "14 points in a row going up and down in turn"
    TWO_OF_THREE_BEYOND_2_SIGMA = "2 of 3 points in a row beyond 2 sigma on one side"
    FOUR_OF_FIVE_BEYOND_1_SIGMA = "4 of 5 points in a row beyond 1 sigma on one side"
    FIFTEEN_WITHIN_1_SIGMA = "15 points in a row within 1 sigma on either side"
    EIGHT_BEYOND_1_SIGMA = "8 points in a row beyond 1 sigma on either side"


ALL_RULES = tuple(RunRule)

RULES_OF_COUNTS = (
    RunRule.BEYOND_3_SIGMA,
    RunRule.NINE_ON_ONE_SIDE,
    RunRule.SIX_RISING_OR_FALLING,
    RunRule.FOURTEEN_ALTERNATING,
)
"""The rules that need no symmetric spread, and so serve charts of counts (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Signal:
    """One place where a rule has found something.

    Attributes:
        rule: the rule.
        points: the points that make it, from 0, in order; runs that touch are one signal.
    """

    rule: RunRule
    points: tuple[int, ...]


def signals_in(
    distances: Sequence[float], rules: Collection[RunRule] = ALL_RULES
) -> tuple[Signal, ...]:
    """Return what the rules find in a row of points.

    Beyond a line is past it: a point on the line is not beyond it, and a point on the centre is on
    neither side. Rising and falling are strict: a repeated figure ends the run.

    Args:
        distances: each point's (value - centre) / sigma, finite, in the order of time.
        rules: the rules to apply.

    Returns:
        The signals, rule by rule in Nelson's order, each from the earliest point.

    Raises:
        DomainError: a distance is not finite.

    Source: the module's.

    >>> signals_in((0.2, -0.4, 3.4, 0.1))
    (Signal(rule=<RunRule.BEYOND_3_SIGMA: 'one point beyond 3 sigma'>, points=(2,)),)
    """
    for distance in distances:
        require_finite("distance from the centre, sigma", distance)
    return tuple(
        Signal(rule=rule, points=points)
        for rule in RunRule
        if rule in rules
        for points in _FINDERS[rule](distances)
    )


_Found = Iterator[tuple[int, ...]]


def _beyond(distances: Sequence[float], sigmas: float) -> _Found:
    for at, distance in enumerate(distances):
        if abs(distance) > sigmas + ON_LINE:
            yield (at,)


def _runs(keys: Sequence[int], length: int) -> _Found:
    """Yield every longest run of equal keys that are not nought, if it is long enough."""
    start = 0
    for at in range(1, len(keys) + 1):
        if at == len(keys) or keys[at] != keys[start]:
            if keys[start] and at - start >= length:
                yield tuple(range(start, at))
            start = at


def _side(distance: float, beyond: float = 0.0) -> int:
    return (distance > beyond + ON_LINE) - (distance < -beyond - ON_LINE)


def _one_side(distances: Sequence[float], length: int) -> _Found:
    return _runs([_side(distance) for distance in distances], length)


def _steps(distances: Sequence[float]) -> list[int]:
    return [_side(later - sooner) for sooner, later in pairwise(distances)]


def _trend(distances: Sequence[float], length: int) -> _Found:
    """A run of steps has one point more than steps."""
    for run in _runs(_steps(distances), length - 1):
        yield (*run, run[-1] + 1)


def _alternating(distances: Sequence[float], length: int) -> _Found:
    """Steps that change sign each time are of one sign when every other one is turned over."""
    turned = [step if at % 2 else -step for at, step in enumerate(_steps(distances))]
    for run in _runs(turned, length - 1):
        yield (*run, run[-1] + 1)


def _most_of(distances: Sequence[float], needed: int, window: int, sigmas: float) -> _Found:
    """Yield the far points of windows that hold enough of one side, joined where they share one."""
    for side in (1, -1):
        joined: tuple[int, ...] = ()
        far = [at for at, distance in enumerate(distances) if _side(distance, sigmas) == side]
        for first in range(len(far) - needed + 1):
            group = tuple(far[first : first + needed])
            if group[-1] - group[0] >= window:
                continue
            if joined and group[0] <= joined[-1]:
                joined += tuple(at for at in group if at > joined[-1])
                continue
            if joined:
                yield joined
            joined = group
        if joined:
            yield joined


def _within(distances: Sequence[float], length: int) -> _Found:
    return _runs([int(abs(distance) < 1.0 - ON_LINE) for distance in distances], length)


def _outside(distances: Sequence[float], length: int) -> _Found:
    return _runs([int(abs(distance) > 1.0 + ON_LINE) for distance in distances], length)


_FINDERS: dict[RunRule, Callable[[Sequence[float]], _Found]] = {
    RunRule.BEYOND_3_SIGMA: lambda distances: _beyond(distances, 3.0),
    RunRule.NINE_ON_ONE_SIDE: lambda distances: _one_side(distances, 9),
    RunRule.SIX_RISING_OR_FALLING: lambda distances: _trend(distances, 6),
    RunRule.FOURTEEN_ALTERNATING: lambda distances: _alternating(distances, 14),
    RunRule.TWO_OF_THREE_BEYOND_2_SIGMA: lambda distances: _most_of(distances, 2, 3, 2.0),
    RunRule.FOUR_OF_FIVE_BEYOND_1_SIGMA: lambda distances: _most_of(distances, 4, 5, 1.0),
    RunRule.FIFTEEN_WITHIN_1_SIGMA: lambda distances: _within(distances, 15),
    RunRule.EIGHT_BEYOND_1_SIGMA: lambda distances: _outside(distances, 8),
}

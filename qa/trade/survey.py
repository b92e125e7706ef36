"""Levels surveyed on a roof, and what makes a survey unfit to work with.

A level is a height at a place. Heights share one datum of the survey's own; places are those of the
roof's outline.
"""

from __future__ import annotations

from collections.abc import Sequence

from qa.errors import DomainError
from qa.trade.domain import require_finite
from qa.trade.outline import FARTHEST_M

Level = tuple[float, float, float]
"""A surveyed level as (x, y, z), m."""


def require_levels(levels_m: Sequence[Level]) -> None:
    """Refuse fewer than three levels, or one whose place or height is no figure.

    Args:
        levels_m: the levels (x, y, z), m.

    Raises:
        DomainError: the sentence names the level by its number, from 1.

    >>> require_levels([(0, 0, 0.0), (4, 0, float("nan")), (0, 3, 0.0)])
    Traceback (most recent call last):
    qa.errors.DomainError: height of level 2, m is nan; it must be a finite number.
    """
    if len(levels_m) < 3:
        raise DomainError("number of levels", len(levels_m), "3 or more")
    for number, (x, y, z) in enumerate(levels_m, start=1):
        if not (abs(x) <= FARTHEST_M and abs(y) <= FARTHEST_M):
            raise DomainError(f"place of level {number}, m", f"({x}, {y})", "a place near the roof")
        require_finite(f"height of level {number}, m", z)


def in_one_line(levels_m: Sequence[Level]) -> DomainError:
    """Return the error for levels that all lie in one line, which names the line's two ends.

    >>> str(in_one_line([(2, 2, 0.1), (0, 0, 0.0), (1, 1, 0.2)]))[:66]
    'lie of the levels is one line, from level 2 at (0.000, 0.000) m to'
    """
    order = sorted(range(len(levels_m)), key=lambda at: levels_m[at][:2])
    first, last = (f"level {at + 1} at {_place(levels_m[at])}" for at in (order[0], order[-1]))
    line = f"one line, from {first} to {last}"
    return DomainError("lie of the levels", line, "spread over an area")


def at_one_place(levels_m: Sequence[Level], one: int, other: int) -> DomainError:
    """Return the error for two levels, given from 0, at one place.

    >>> str(at_one_place([(2, 2, 0.1), (2, 2, 0.2)], 0, 1))
    'place of level 2 is (2.000, 2.000) m, that of level 1; it must be a place of its own.'
    """
    place = f"{_place(levels_m[other])}, that of level {one + 1}"
    return DomainError(f"place of level {other + 1}", place, "a place of its own")


def _place(level: Level) -> str:
    return f"({level[0]:.3f}, {level[1]:.3f}) m"

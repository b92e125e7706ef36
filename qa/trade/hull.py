"""The hull round places: the outline of a survey where nobody drew one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from qa.errors import DomainError
from qa.trade.segments import Point, turn


def hull_m(places: Iterable[Point]) -> tuple[Point, ...]:
    """Return the corners of the smallest convex outline round places, anticlockwise.

    Args:
        places: places in plan, m, in any order; three or more that are not in one line.

    Raises:
        DomainError: the places are fewer than three, or all in one line.

    Source: A. M. Andrew's monotone chain, 1979 (from memory).

    >>> hull_m([(0, 0), (4, 0), (2, 1), (4, 3), (0, 3), (2, 0)])
    ((0, 0), (4, 0), (4, 3), (0, 3))
    """
    ordered = sorted(set(places))
    hull = (*_half(ordered), *_half(ordered[::-1]))
    if len(hull) < 3:
        raise DomainError("lie of the places", "one line", "spread over an area")
    return hull


def _half(ordered: Sequence[Point]) -> list[Point]:
    """Return the corners that are passed on the way from first to last, without the last."""
    corners: list[Point] = []
    for place in ordered:
        while len(corners) > 1 and turn(corners[-2], corners[-1], place) <= 0:
            corners.pop()
        corners.append(place)
    return corners[:-1]

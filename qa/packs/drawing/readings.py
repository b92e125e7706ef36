"""What is read, mixed and interrupted in the course of a day, as the conditions chart needs it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from qa.trade.domain import require_aware

TimedValue = tuple[datetime, float]
"""A value and when it was read."""

_ROUNDING = timedelta(seconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading of the conditions; None for what was not read.

    Attributes:
        at: when, with an offset.
        deck_c: temperature of the deck's surface, °C.
        air_c: temperature of the air, °C.
        dew_point_c: dew point, °C.
    """

    at: datetime
    deck_c: float | None = None
    air_c: float | None = None
    dew_point_c: float | None = None

    def __post_init__(self) -> None:
        require_aware("time of a reading", self.at)

    @property
    def dew_margin_k(self) -> float | None:
        """Deck less dew point, K, or None where one of them was not read."""
        if self.deck_c is None or self.dew_point_c is None:
            return None
        return self.deck_c - self.dew_point_c


@dataclass(frozen=True, slots=True, kw_only=True)
class MixTick:
    """When a mix was made, with an offset, and its key."""

    at: datetime
    key: str

    def __post_init__(self) -> None:
        require_aware("time of a mix", self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class InterruptionSpan:
    """From when to when work was interrupted, and why, such as "rain, covered".

    Attributes:
        start: when it began, with an offset.
        end: when it ended, or None where that is not recorded.
        label: why, and what was done.
    """

    start: datetime
    end: datetime | None
    label: str

    def __post_init__(self) -> None:
        require_aware("start of an interruption", self.start)
        if self.end is not None:
            require_aware("end of an interruption", self.end)


def unbroken_runs(
    values: Sequence[TimedValue], longest_gap_h: float
) -> tuple[tuple[TimedValue, ...], ...]:
    """Return values as runs in which no gap is longer than accepted.

    Args:
        values: the values in order of time.
        longest_gap_h: longest accepted time from one to the next, h.
    """
    gap = timedelta(hours=longest_gap_h) + _ROUNDING
    runs: list[list[TimedValue]] = []
    for value in values:
        if runs and value[0] - runs[-1][-1][0] <= gap:
            runs[-1].append(value)
        else:
            runs.append([value])
    return tuple(tuple(run) for run in runs)

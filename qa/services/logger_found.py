"""What a logger's file holds for a job: counted, matched to the wet work, and thinned."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from qa.assess.conditions import AIR, DECK, HUMIDITY, MARGIN
from qa.errors import DomainError
from qa.services.logger_csv import LoggerReading, UnreadRow
from qa.services.logger_weighings import Weighings
from qa.services.logger_windows import WetWindow
from qa.specification.model import Specification
from qa.trade.dew_point import dew_margin_k
from qa.trade.vocabulary import Stage

KEPT_EVERY = timedelta(minutes=15)
"""Of the readings of so long a time the first goes into the record."""
_EPOCH = datetime(2000, 1, 1, tzinfo=UTC)
_FIRST_STEPS = 200
_GAP_STEPS = 3
"""So many times the usual step between readings is a gap; common practice, no source."""
_SHOWN = 5
Chosen = tuple[Stage, LoggerReading]


@dataclass(slots=True, kw_only=True)
class LimitCount:
    """How the readings of wet work stand to one limit.

    Attributes:
        check: key of the check.
        lower, upper: the limit.
        read: readings that have the quantity.
        outside: those of them outside the limit.
        lowest, highest: of all of them; None where there is none.
    """

    check: str
    lower: float | None
    upper: float | None
    read: int = 0
    outside: int = 0
    lowest: float | None = None
    highest: float | None = None

    def count(self, value: float) -> None:
        """Counts one value."""
        self.read += 1
        self.lowest = value if self.lowest is None else min(self.lowest, value)
        self.highest = value if self.highest is None else max(self.highest, value)
        below = self.lower is not None and value < self.lower
        self.outside += below or (self.upper is not None and value > self.upper)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerGap:
    """A time without a reading."""

    since: datetime
    until: datetime


@dataclass(slots=True, kw_only=True)
class LoggerFound:
    """What was found in a file.

    Attributes:
        readings: how many there are.
        first, last: the earliest and the latest of them, UTC; None where there is none.
        unread: how many lines say nothing that can be taken; `unread_first` is the first of them.
        set_back: how often the clock goes back from one line to the next.
        step: the usual time between two readings.
        gaps: the longest times without a reading, in order of time; `gap_count` is how many.
        of_air: how many readings say something of the conditions.
        in_work: how many readings fall into wet work.
        by_stage: how many of them into each stage.
        limits: how they stand to the limits.
        chosen: those that go into the record.
        weighings: what a scale read about the mixes and uses.
    """

    readings: int = 0
    first: datetime | None = None
    last: datetime | None = None
    unread: int = 0
    unread_first: UnreadRow | None = None
    set_back: int = 0
    step: timedelta | None = None
    gaps: tuple[LoggerGap, ...] = ()
    gap_count: int = 0
    of_air: int = 0
    in_work: int = 0
    by_stage: dict[Stage, int] = field(default_factory=dict)
    limits: tuple[LimitCount, ...] = ()
    chosen: tuple[Chosen, ...] = ()
    weighings: Weighings = field(default_factory=Weighings)


def find_in(
    lines: Iterable[LoggerReading | UnreadRow],
    windows: Sequence[WetWindow],
    specification: Specification,
    weighings: Weighings | None = None,
) -> LoggerFound:
    """What a file holds, in one pass whose memory does not grow with the file.

    Args:
        lines: of the file, in its order.
        windows: the times of wet work, in order.
        specification: whose limits are counted by.
        weighings: what may have been weighed, which takes the masses; None: nothing.
    """
    found = LoggerFound(weighings=weighings or Weighings())
    steps, matched = _Steps(), _Matched(windows, specification)
    for line in lines:
        if isinstance(line, UnreadRow):
            found.unread += 1
            found.unread_first = found.unread_first or line
            continue
        found.readings += 1
        found.first = line.at if found.first is None else min(found.first, line.at)
        found.last = line.at if found.last is None else max(found.last, line.at)
        steps.take(line.at)
        if line.is_of_air:
            found.of_air += 1
            matched.take(line)
        found.weighings.take(line)
    found.set_back, found.step = steps.set_back, steps.usual
    found.gaps, found.gap_count = steps.gaps()
    found.in_work, found.by_stage = sum(matched.by_stage.values()), matched.by_stage
    found.limits, found.chosen = tuple(matched.limits.values()), tuple(matched.chosen())
    return found


class _Steps:
    """The times between readings."""

    def __init__(self) -> None:
        self.set_back = 0
        self._before: datetime | None = None
        self._first: list[timedelta] = []
        self._longest: list[tuple[timedelta, datetime]] = []
        self._long_count = 0
        self.usual: timedelta | None = None

    def take(self, at: datetime) -> None:
        before, self._before = self._before, at
        if before is None:
            return
        step = at - before
        if step < timedelta(0):
            self.set_back += 1
            return
        if len(self._first) < _FIRST_STEPS:
            self._first.append(step)
            self.usual = sorted(self._first)[len(self._first) // 2]
        if step > self._least():
            self._long_count += 1
            self._longest = sorted([*self._longest, (step, before)], reverse=True)[:_SHOWN]

    def _least(self) -> timedelta:
        return max(KEPT_EVERY, _GAP_STEPS * (self.usual or timedelta(0)))

    def gaps(self) -> tuple[tuple[LoggerGap, ...], int]:
        """The longest in order of time, and how many there are."""
        told = sorted((since, since + step) for step, since in self._longest)
        return tuple(LoggerGap(since=a, until=b) for a, b in told), self._long_count


class _Matched:
    """The readings of wet work: counted by limit, the first of each time and the extremes kept."""

    def __init__(self, windows: Sequence[WetWindow], specification: Specification) -> None:
        self.by_stage: dict[Stage, int] = {}
        self.limits = {key: _limit(specification, key) for key in (AIR, HUMIDITY, DECK, MARGIN)}
        self._windows = windows
        self._begins = [window.since for window in windows]
        self._kept: dict[tuple[int, int], LoggerReading] = {}
        self._extremes: dict[tuple[int, str], tuple[float, LoggerReading]] = {}

    def take(self, reading: LoggerReading) -> None:
        place = bisect_right(self._begins, reading.at) - 1
        if place < 0 or reading.at >= self._windows[place].until:
            return
        stage = self._windows[place].stage
        self.by_stage[stage] = self.by_stage.get(stage, 0) + 1
        part = (reading.at - _EPOCH) // KEPT_EVERY
        self._kept.setdefault((place, part), reading)
        for key, value in _values(reading):
            self.limits[key].count(value)
            self._note(place, f"least {key}", -value, reading)
            if key != MARGIN:
                self._note(place, f"most {key}", value, reading)

    def _note(self, place: int, what: str, far: float, reading: LoggerReading) -> None:
        held = self._extremes.get((place, what))
        if held is None or far > held[0]:
            self._extremes[place, what] = (far, reading)

    def chosen(self) -> Iterator[Chosen]:
        """What goes into the record, in order of time; each line once."""
        chosen = {reading.row: (at, reading) for (at, _), reading in self._kept.items()}
        chosen |= {reading.row: (at, reading) for (at, _), (_, reading) in self._extremes.items()}
        for at, reading in sorted(chosen.values(), key=lambda one: (one[1].at, one[1].row)):
            yield self._windows[at].stage, reading


def _limit(specification: Specification, key: str) -> LimitCount:
    limits = specification.checks[key].limits
    return LimitCount(check=key, lower=limits.lower, upper=limits.upper)


def _values(reading: LoggerReading) -> Iterator[tuple[str, float]]:
    air, humidity, deck = reading.air_c, reading.humidity_pct, reading.deck_c
    for key, value in ((AIR, air), (HUMIDITY, humidity), (DECK, deck)):
        if value is not None:
            yield key, value
    if air is not None and humidity is not None and deck is not None:
        try:
            margin = dew_margin_k(deck_c=deck, air_c=air, humidity_pct=humidity)
        except DomainError:
            return
        yield MARGIN, margin

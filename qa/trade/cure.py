"""The cure clock: hours at temperature, counted as hours at a reference temperature.

Readings are joined by straight lines in time. Where readings lie too far apart, or none lies before
or after, the stretch is a named gap and counts nothing: it is never guessed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import groupby, pairwise
from math import expm1, fsum, log
from statistics import fmean

from qa.errors import DomainError
from qa.trade.domain import require_aware, require_finite, require_positive

_HOUR = timedelta(hours=1)
_ROUNDING = 1e-9

_Reading = tuple[datetime, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class CureRate:
    """How fast a laminate cures at a temperature, against a reference temperature.

    Attributes:
        doubling_k: rise of temperature that doubles the rate, K, above nought.
        floor_c: temperature below which nothing cures, °C.
        reference_c: temperature at which an hour counts as an hour, °C.
        longest_gap_h: longest time between neighbouring readings that is interpolated, h,
            above nought.
    """

    doubling_k: float
    floor_c: float
    reference_c: float
    longest_gap_h: float

    def __post_init__(self) -> None:
        require_positive("rise of temperature that doubles the cure rate, K", self.doubling_k)
        require_finite("temperature below which nothing cures, °C", self.floor_c)
        require_finite("reference temperature of the cure clock, °C", self.reference_c)
        require_positive("longest gap between readings, h", self.longest_gap_h)


@dataclass(frozen=True, slots=True, kw_only=True)
class CureGap:
    """A stretch of time without a temperature, UTC."""

    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class CureHours:
    """What the cure clock shows between two times.

    Attributes:
        equivalent_h: hours at the reference temperature, from the covered time alone.
        covered_h: clock hours that readings cover.
        clock_h: clock hours from start to end.
        gaps: the stretches that no readings cover, in order.
    """

    equivalent_h: float
    covered_h: float
    clock_h: float
    gaps: tuple[CureGap, ...]


def equivalent_hours(
    readings: Sequence[tuple[datetime, float]], *, start: datetime, end: datetime, rate: CureRate
) -> CureHours:
    """Return the cure between two times as hours at the reference temperature.

    The integral of 2^((T - reference) / doubling) over time, nought where T is below the floor,
    with T on straight lines between neighbouring readings. Each line is integrated in closed
    form: over h hours from T1 to T2, with x = ln 2 (T2 - T1) / doubling, it gives
    h 2^((T1 - reference) / doubling) (e^x - 1) / x. Readings of one instant are averaged;
    readings outside the two times still serve to interpolate between them.

    Args:
        readings: times with an offset and temperatures in °C, in any order.
        start: when the clock starts, with an offset.
        end: when it stops, with an offset, not before the start.
        rate: the rate's figures.

    Raises:
        DomainError: a time has no offset, the end is before the start, or a temperature is not
            finite.

    Source: rate that doubles with a fixed rise of temperature, integrated; the figures are the
    specification's.

    >>> rate = CureRate(doubling_k=10.0, floor_c=5.0, reference_c=20.0, longest_gap_h=2.0)
    >>> noon = datetime(2026, 5, 12, 12, tzinfo=UTC)
    >>> logged = [(noon + n * _HOUR, 10.0) for n in range(5)]
    >>> cure = equivalent_hours(logged, start=noon, end=noon + 4 * _HOUR, rate=rate)
    >>> round(cure.equivalent_h, 9), cure.covered_h, cure.gaps
    (2.0, 4.0, ())
    """
    first, last = _utc("start of the cure clock", start), _utc("end of the cure clock", end)
    if last < first:
        raise DomainError("end of the cure clock", end.isoformat(), f"{start.isoformat()} or later")
    logged = _in_order(readings)
    equivalent: list[float] = []
    covered: list[float] = []
    gaps: list[CureGap] = []
    for since, until, line in _stretches(logged, first=first, last=last, rate=rate):
        if line is None:
            gaps.append(CureGap(start=since, end=until))
            continue
        covered.append((until - since) / _HOUR)
        equivalent.append(
            _equivalent_h(covered[-1], _on_line(line, since), _on_line(line, until), rate)
        )
    return CureHours(
        equivalent_h=fsum(equivalent),
        covered_h=fsum(covered),
        clock_h=(last - first) / _HOUR,
        gaps=tuple(gaps),
    )


def _utc(quantity: str, moment: datetime) -> datetime:
    """Return a time in UTC: Python subtracts two times of one zone by the wall's clock."""
    require_aware(quantity, moment)
    return moment.astimezone(UTC)


def _in_order(readings: Sequence[_Reading]) -> list[_Reading]:
    """Return the readings by time in UTC, those of one instant averaged."""
    for _, deck_c in readings:
        require_finite("temperature read for the cure clock, °C", deck_c)
    ordered = sorted((_utc("time of a reading", moment), deck_c) for moment, deck_c in readings)
    return [
        (moment, fmean(deck_c for _, deck_c in same))
        for moment, same in groupby(ordered, key=lambda reading: reading[0])
    ]


_Line = tuple[_Reading, _Reading]


def _stretches(
    logged: Sequence[_Reading], *, first: datetime, last: datetime, rate: CureRate
) -> list[tuple[datetime, datetime, _Line | None]]:
    """Divide first to last at the readings: each stretch has a line, or None for a gap."""
    if not logged:
        edges: list[tuple[datetime, datetime, _Line | None]] = [(first, last, None)]
    else:
        edges = [(first, logged[0][0], None)]
        for one, other in pairwise(logged):
            hours = (other[0] - one[0]) / _HOUR
            close = hours <= rate.longest_gap_h * (1.0 + _ROUNDING)
            edges.append((one[0], other[0], (one, other) if close else None))
        edges.append((logged[-1][0], last, None))
    clipped = [(max(since, first), min(until, last), line) for since, until, line in edges]
    return [stretch for stretch in clipped if stretch[0] < stretch[1]]


def _on_line(line: _Line, moment: datetime) -> float:
    """Return the temperature at a time on the line between two readings, °C."""
    (since, from_c), (until, to_c) = line
    if moment == until:
        return to_c
    return from_c + (to_c - from_c) * ((moment - since) / (until - since))


def _equivalent_h(hours: float, from_c: float, to_c: float, rate: CureRate) -> float:
    """Integrate one straight line of temperature, less the part of it below the floor."""
    low_c, high_c = sorted((from_c, to_c))
    if high_c < rate.floor_c:
        return 0.0
    if low_c < rate.floor_c:
        hours *= (high_c - rate.floor_c) / (high_c - low_c)
        low_c = rate.floor_c
    growth = log(2.0) * (high_c - low_c) / rate.doubling_k
    mean_growth = expm1(growth) / growth if growth > 0.0 else 1.0
    return float(hours * 2.0 ** ((low_c - rate.reference_c) / rate.doubling_k) * mean_growth)

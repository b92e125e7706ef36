"""A job's days in its own zone: which instants fall on which, and the hours between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

_HOUR = timedelta(hours=1)
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def day_text(day: date) -> str:
    """Return a day in words, in English whatever the machine's language.

    >>> day_text(date(2026, 5, 12))
    'Tuesday 12 May 2026'
    """
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def days_of(moments: Sequence[datetime], zone: ZoneInfo) -> tuple[date, ...]:
    """Return the days on which instants fall in a zone, in order."""
    return tuple(sorted({moment.astimezone(zone).date() for moment in moments}))


def day_span(day: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Return when a day begins and ends in a zone, UTC; it may last 23 or 25 hours."""
    start = datetime.combine(day, time(), zone)
    end = datetime.combine(day + timedelta(days=1), time(), zone)
    return start.astimezone(UTC), end.astimezone(UTC)


def whole_hours(
    first: datetime, last: datetime, zone: ZoneInfo, *, least_hours: int = 4
) -> tuple[datetime, datetime]:
    """Return a span of whole local hours round two instants, UTC, at least so many hours long."""
    # Zones exist whose clock stands half an hour or a quarter off the whole hours of UTC.
    local = first.astimezone(zone)
    into_hour = timedelta(
        minutes=local.minute, seconds=local.second, microseconds=local.microsecond
    )
    start = first.astimezone(UTC) - into_hour
    hours = max(least_hours, -((start - last.astimezone(UTC)) // _HOUR))
    return start, start + hours * _HOUR


def hour_ticks(
    start: datetime, end: datetime, zone: ZoneInfo, *, every: int
) -> Iterator[tuple[datetime, str]]:
    """Yield local hours from start to end that are multiples of a step, with their clock time."""
    moment = start
    while moment <= end:
        local = moment.astimezone(zone)
        if local.hour % every == 0 and local.minute == 0:
            yield moment, f"{local:%H:%M}"
        moment += _HOUR

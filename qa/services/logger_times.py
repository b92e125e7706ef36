"""The clock of a logger: its times as it writes them, and where on the earth they hold."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from enum import StrEnum
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

_DAY = r"(\d{1,4})[-./](\d{1,2})[-./](\d{1,4})"
_TIME = r"(\d{1,2})[:.](\d{2})(?:[:.](\d{2})(?:[.,]\d{1,9})?)?(?:\s*([AaPp])\.?[Mm]\.?)?"
_OFFSET = r"\s*(Z|[+-]\d{2}:?\d{2})?"
_DAY_ALONE = re.compile(_DAY)
_MOMENT = re.compile(rf"{_DAY}[T,\s]\s*{_TIME}{_OFFSET}", re.ASCII)
_TIME_ALONE = re.compile(rf"{_TIME}{_OFFSET}", re.ASCII)
_CLOCK = re.compile(r"(?:UTC|GMT)?\s*([+\-−])\s*(\d{1,2})(?::?(\d{2}))?", re.ASCII)
_LARGEST_OFFSET = timedelta(hours=14)
_NOON = 12
_CENTURY = 2000


class DayOrder(StrEnum):
    """In which order a date is written where it does not begin with the year."""

    DAY_FIRST = "day"
    MONTH_FIRST = "month"


def clock_named(text: str) -> tzinfo:
    """The clock that a person names: a zone, "UTC", or an offset such as "+01:00".

    Raises:
        ValueError: nothing is called so; the sentence says how a clock is named.
    """
    name = text.strip()
    offset = _CLOCK.fullmatch(name)
    if offset is not None:
        sign, hours, minutes = offset.groups()
        ahead = timedelta(hours=int(hours), minutes=int(minutes or 0))
        if ahead <= _LARGEST_OFFSET:
            return timezone(ahead if sign == "+" else -ahead)
    try:
        return UTC if name == "UTC" else ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        shown = "".join(sign if sign.isprintable() else "�" for sign in name)[:40]
        raise ValueError(
            f"No clock is called “{shown}”; write Europe/London, UTC, or +01:00."
        ) from None


def is_day(text: str) -> bool:
    """Whether a cell holds a date alone."""
    return _DAY_ALONE.fullmatch(text) is not None


def is_time(text: str) -> bool:
    """Whether a cell holds a time of day alone."""
    return _TIME_ALONE.fullmatch(text) is not None


def is_moment(text: str) -> bool:
    """Whether a cell holds a date and a time."""
    return _MOMENT.fullmatch(text) is not None


def order_told(text: str) -> DayOrder | None:
    """What a date tells of its order; None where both are possible, or the year comes first."""
    found = _DAY_ALONE.match(text)
    if found is None or len(found[1]) == 4:
        return None
    if int(found[1]) > _NOON:
        return DayOrder.DAY_FIRST
    return DayOrder.MONTH_FIRST if int(found[2]) > _NOON else None


def read_moment(text: str, order: DayOrder, clock: tzinfo) -> datetime:
    """A moment as a logger writes it, in UTC; an offset that stands there goes before `clock`.

    Raises:
        ValueError: it is none.
    """
    found = _MOMENT.fullmatch(text)
    if found is None:
        raise ValueError("no date and time")
    first, second, third, hour, minute, second_, half, offset = found.groups()
    year, month, day = _in_order(first, second, third, order)
    local = datetime(
        year, month, day, _hour(int(hour), half), int(minute), int(second_ or 0),
        tzinfo=clock if offset is None else _offset(offset),
    )  # fmt: skip
    try:
        return local.astimezone(UTC)
    except OverflowError as error:
        raise ValueError("a year that no logger has") from error


def _in_order(first: str, second: str, third: str, order: DayOrder) -> tuple[int, int, int]:
    """Year, month and day; two figures of a year are of this century."""
    if len(first) == 4:
        return int(first), int(second), int(third)
    year = int(third) if len(third) == 4 else _CENTURY + int(third)
    if order is DayOrder.DAY_FIRST:
        return year, int(second), int(first)
    return year, int(first), int(second)


def _hour(hour: int, half: str | None) -> int:
    if half is None:
        return hour
    if not 1 <= hour <= _NOON:
        raise ValueError("no hour of a half day")
    return hour % _NOON + (_NOON if half in "Pp" else 0)


def _offset(text: str) -> tzinfo:
    if text == "Z":
        return UTC
    ahead = timedelta(hours=int(text[1:3]), minutes=int(text[-2:]))
    if ahead > _LARGEST_OFFSET:
        raise ValueError("an offset that no place has")
    return timezone(ahead if text[0] == "+" else -ahead)

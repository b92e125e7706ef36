"""Days and times as pages say them: one form everywhere, on the clock of the site of the job.

Whatever zone a time was told in is noted for the request, so that the foot of the page names it.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, tzinfo
from typing import cast

from flask import g, has_app_context

from qa.texts.saying import say, to_say

_MONTHS = (
    to_say("January"), to_say("February"), to_say("March"), to_say("April"), to_say("May"),
    to_say("June"), to_say("July"), to_say("August"), to_say("September"), to_say("October"),
    to_say("November"), to_say("December"),
)  # fmt: skip


def day_text(day: date) -> str:
    """A day: "12 May 2026"; a moment must be in its zone already."""
    return say("%(day)s %(month)s %(year)s", day=day.day, month=_month(day), year=day.year)


def moment_text(at: datetime, zone: tzinfo) -> str:
    """Day and time on a clock, whatever day it is: "12 May 2026, 10:42"."""
    local = in_zone(at, zone)
    return f"{day_text(local)}, {local:%H:%M}"


def utc_text(at: datetime) -> str:
    """Day and time of what belongs to no site: "12 May 2026, 10:42 UTC"."""
    return f"{moment_text(at, UTC)} UTC"


def exact_text(at: datetime, zone: tzinfo | None) -> str:
    """The same to the second; without a zone, as a clock showed it of which none is known."""
    local = in_zone(at, zone) if zone is not None else at
    return f"{day_text(local)}, {local:%H:%M:%S}"


def time_text(at: datetime, zone: tzinfo, today: date) -> str:
    """A time on the site's clock: "10:42" today, else "12 May, 10:42" or "12 May 2025, 10:42"."""
    local = in_zone(at, zone)
    if local.date() == today:
        return f"{local:%H:%M}"
    if local.year != today.year:
        return f"{day_text(local)}, {local:%H:%M}"
    day = say("%(day)s %(month)s", day=local.day, month=_month(local))
    return f"{day}, {local:%H:%M}"


def in_zone(at: datetime, zone: tzinfo) -> datetime:
    """A moment on a clock that the page then names."""
    name_zone(zone)
    return at.astimezone(zone)


def name_zone(zone: tzinfo) -> None:
    """Notes for this request that the page tells times of a zone."""
    if has_app_context():
        cast("set[str]", g.setdefault("zones", set())).add(str(zone))


def zones_told() -> tuple[str, ...]:
    """The zones of the times that this request has told."""
    return tuple(sorted(g.get("zones", ())))


def _month(day: date) -> str:
    return str(_MONTHS[day.month - 1])

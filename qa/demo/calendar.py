"""When and by whom: the week of the demonstration job, its people and their devices."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta, timezone

SUMMER_TIME = timezone(timedelta(hours=1))

SURVEY_DAY = date(2026, 5, 7)
DECK_DAY = date(2026, 5, 8)
TRIMS_DAY = date(2026, 5, 11)
BANDAGE_DAY = date(2026, 5, 12)
MAIN_DAY = date(2026, 5, 13)
TOPCOAT_DAY = date(2026, 5, 14)
LAST_DAY = date(2026, 5, 15)

NELL, TAM, ORLA = "nell", "tam", "orla"
"""Two installers and their supervisor."""

DEVICES: Mapping[str, str] = {NELL: "phone-nell", TAM: "phone-tam", ORLA: "tablet-orla"}


def moment(day: date, clock: str) -> datetime:
    """A time of day on the site.

    Args:
        day: the day.
        clock: hours and minutes such as "08:40".
    """
    hour, minute = map(int, clock.split(":"))
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=SUMMER_TIME)

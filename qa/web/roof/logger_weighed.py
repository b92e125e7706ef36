"""What a page says of the weighings in a logger's file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from qa.services.logger_found import LoggerFound
from qa.services.logger_weighings import Weighed
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.trade.notation import quantity_text
from qa.web.dates import time_text
from qa.web.form_fields import Option
from qa.web.roof.job_top import site_day
from qa.web.roof.wording import begun


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundLine:
    """One thing that was found."""

    name: str
    text: str


def weighed_lines(read: ReadJob, found: LoggerFound) -> Iterator[FoundLine]:
    """What the scale says of each mix and use, and how many readings belong to none."""
    weighings = found.weighings
    for one in weighings.found:
        yield FoundLine(name=begun(one.name), text=_told(read, one))
    left = weighings.masses - weighings.matched
    if left:
        text = say("%(number)s, left out: a tin, a bucket, or another day", number=left)
        yield FoundLine(name=say("Near no mix or use"), text=text)


def weighed_options(read: ReadJob, found: LoggerFound) -> tuple[tuple[Option, ...], list[str]]:
    """What the scale would put right, and which of it is ticked: all that differs."""
    differing = [one for one in found.weighings.found if one.differs]
    options = tuple(
        Option(
            value=one.entry.id,
            label=say(
                "%(name)s: %(mass)s instead of %(held)s",
                name=begun(one.name), mass=_kg(one.mass_kg), held=_kg(one.held_kg),
            ),
            hint=_when(read, one),
        )
        for one in differing
    )  # fmt: skip
    return options, [one.entry.id for one in differing]


def _told(read: ReadJob, one: Weighed) -> str:
    known = quantity_text(one.known_kg, "kg")
    values = {"mass": _kg(one.mass_kg), "when": _when(read, one), "held": _kg(one.held_kg)}
    if one.differs:
        return say("%(mass)s, %(when)s; recorded %(held)s", **values)
    return say("%(mass)s, %(when)s; agrees with %(held)s within %(known)s", **values, known=known)


def _when(read: ReadJob, one: Weighed) -> str:
    assert one.reading is not None
    at = time_text(one.reading.at, read.job.time_zone, site_day(read))
    return say("weighed %(time)s, line %(row)s", time=at, row=one.reading.row)


def _kg(mass_kg: float | None) -> str:
    return quantity_text(mass_kg or 0.0, "kg")

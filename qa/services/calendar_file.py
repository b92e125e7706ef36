"""A calendar as a file that calendar programs read (iCalendar, RFC 5545): whole days only.

Lines end in CRLF and are folded at 75 octets, never inside a letter; text is escaped. No clock: the
stamp of every event is given, so that the same events give the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

_LONGEST_LINE_OCTETS = 75
_ESCAPES = {"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"}
_PROGRAM = "-//Laidtrue//Care of a roof//EN"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something on a day.

    Attributes:
        uid: the same for the same event in every edition of the calendar, so that a program that
            reads a later one changes it and adds no second.
        day: the day, or the first where it comes round every year.
        summary: in a line.
        description: more of it.
        yearly_until: the last day on which it comes round; None for one day alone.
    """

    uid: str
    day: date
    summary: str
    description: str
    yearly_until: date | None = None


def calendar_file(name: str, events: Sequence[Event], *, stamp: datetime) -> bytes:
    """The file.

    Args:
        name: of the calendar.
        events: in their order.
        stamp: when what they say was known, aware.
    """
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:{_PROGRAM}",
        "CALSCALE:GREGORIAN",
        f"NAME:{_escaped(name)}",  # RFC 7986 5.1
        f"X-WR-CALNAME:{_escaped(name)}",
    ]
    for event in events:
        lines += _event_lines(event, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line)).encode()


def _event_lines(event: Event, stamp: datetime) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_escaped(event.uid)}"
    yield f"DTSTAMP:{stamp.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    yield f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{event.day + timedelta(days=1):%Y%m%d}"
    if event.yearly_until is not None:
        yield f"RRULE:FREQ=YEARLY;UNTIL={event.yearly_until:%Y%m%d}"
    yield f"SUMMARY:{_escaped(event.summary)}"
    yield f"DESCRIPTION:{_escaped(event.description)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _escaped(text: str) -> str:
    """Text as a value holds it (RFC 5545 3.3.11); other signs that steer a line are left out."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(
        _ESCAPES.get(sign, sign) for sign in plain if sign.isprintable() or sign in "\n\t"
    )


def _folded(line: str) -> Iterator[str]:
    """A line in parts of at most 75 octets, each after the first begun with a blank (3.1)."""
    part = ""
    for sign in line:
        if len(part.encode()) + len(sign.encode()) > _LONGEST_LINE_OCTETS:
            yield part
            part = " "
        part += sign
    yield part

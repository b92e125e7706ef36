"""The calendar file by RFC 5545: line ends, folding by octets, escapes, whole days."""

from __future__ import annotations

from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st

from qa.services.calendar_file import Event, calendar_file

STAMP = datetime(2026, 5, 12, 9, 40, tzinfo=UTC)


def an_event(**named: object) -> Event:
    given_: dict[str, object] = {
        "uid": "1@laidtrue", "day": date(2028, 2, 29), "summary": "Look", "description": "Now",
    }  # fmt: skip
    return Event(**(given_ | named))  # type: ignore[arg-type]


def unfolded(content: bytes) -> list[str]:
    """The lines as a reader joins them (RFC 5545, 3.1)."""
    return content.decode().replace("\r\n ", "").split("\r\n")[:-1]


def test_day_is_a_date_and_ends_with_the_next() -> None:
    """RFC 5545, 3.6.1: the end is the day after, and of a leap day 1 March."""
    lines = unfolded(calendar_file("Roof", [an_event()], stamp=STAMP))
    assert lines[:4] == [
        "BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Laidtrue//Care of a roof//EN",
        "CALSCALE:GREGORIAN",
    ]  # fmt: skip
    assert "DTSTART;VALUE=DATE:20280229" in lines
    assert "DTEND;VALUE=DATE:20280301" in lines
    assert "DTSTAMP:20260512T094000Z" in lines
    assert not [line for line in lines if line.startswith("RRULE")]
    assert lines[-1] == "END:VCALENDAR"


def test_year_comes_round_until_its_last_day() -> None:
    """RFC 5545, 3.3.10: the last day is a date where the first is one."""
    event = an_event(yearly_until=date(2041, 5, 12))
    assert "RRULE:FREQ=YEARLY;UNTIL=20410512" in unfolded(
        calendar_file("Roof", [event], stamp=STAMP)
    )


def test_text_is_escaped() -> None:
    """RFC 5545, 3.3.11: backslash, semicolon, comma and line end; a colon stands as it is."""
    event = an_event(summary="a,b;c\\d:e\r\nEND:VCALENDAR\x00")
    lines = unfolded(calendar_file("Roof", [event], stamp=STAMP))
    assert "SUMMARY:a\\,b\\;c\\\\d:e\\nEND:VCALENDAR" in lines
    assert lines.count("END:VCALENDAR") == 1


@given(st.text(max_size=400))
def test_no_line_is_longer_than_75_octets(text: str) -> None:
    content = calendar_file("Roof", [an_event(description=text)], stamp=STAMP)
    assert content.endswith(b"\r\n")
    for line in content.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()  # never cut inside a letter
    plain = "".join(sign for sign in text if sign.isprintable() or sign in "\t")
    if "\r" not in text and "\n" not in text:
        escaped = plain.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
        assert f"DESCRIPTION:{escaped}" in content.decode().replace("\r\n ", "")

"""An iCalendar file read by RFC 5545 as it is written there, and by nothing of the program.

Content lines end with CRLF and are 75 octets long at most (3.1), a component has a beginning and
an end (3.6), and each has the properties without which it is none (3.6, 3.6.1, 3.8.2).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

_LINE = re.compile(
    r"(?P<name>[A-Za-z0-9-]+)"
    r'(?P<parameters>(?:;[A-Za-z0-9-]+=(?:"[^"\x00-\x1f]*"|[^";:,\x00-\x1f]*))*)'
    r":(?P<value>[^\x00-\x08\x0a-\x1f\x7f]*)"
)
_DATE = re.compile(r"\d{8}")
_STAMP = re.compile(r"\d{8}T\d{6}Z")
_NEEDED: Mapping[str, frozenset[str]] = {
    "VCALENDAR": frozenset({"VERSION", "PRODID"}),
    "VEVENT": frozenset({"UID", "DTSTAMP", "DTSTART"}),
}


@dataclass(slots=True)
class Component:
    """A component with its properties and the components inside it."""

    name: str
    lines: dict[str, str] = field(default_factory=dict)
    parts: list[Component] = field(default_factory=list)


def read_calendar(content: bytes) -> Component:
    """The calendar of a file; fails where the file is none."""
    assert content.endswith(b"\r\n")
    octets = content[:-2].split(b"\r\n")
    assert all(len(line) <= 75 and b"\r" not in line and b"\n" not in line for line in octets)
    open_parts, whole = list[Component](), None
    for line in content[:-2].decode().replace("\r\n ", "").split("\r\n"):
        found = _LINE.fullmatch(line)
        assert found, line
        name, value = found["name"].upper(), found["value"]
        assert whole is None, f"something follows the end: {line}"
        if name == "BEGIN":
            open_parts.append(Component(value))
        elif name == "END":
            whole = _ended(open_parts, value)
        else:
            assert name not in open_parts[-1].lines, f"{name} stands twice"
            open_parts[-1].lines[name] = value
    assert whole is not None
    _require_ids(whole)
    return whole


def _ended(open_parts: list[Component], name: str) -> Component | None:
    """Ends the innermost component; answers it where it is the outermost."""
    done = open_parts.pop()
    assert done.name == name
    assert _NEEDED[name] <= done.lines.keys()
    if name == "VEVENT":
        assert _STAMP.fullmatch(done.lines["DTSTAMP"])
        assert _DATE.fullmatch(done.lines["DTSTART"])
        assert done.lines.get("DTEND", "9") > done.lines["DTSTART"]
    if not open_parts:
        return done
    open_parts[-1].parts.append(done)
    return None


def _require_ids(calendar: Component) -> None:
    ids = [event.lines["UID"] for event in calendar.parts]
    assert len(set(ids)) == len(ids)

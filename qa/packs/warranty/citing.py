"""How chapters cite the record: an entry by its number, its stated time and who made it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from qa.assess.finding import Finding
from qa.packs.source import PackSource
from qa.record.entry import Entry
from qa.record.job import Recorded
from qa.record.schema import Body

_LABEL_CHARACTERS = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Citation:
    """One entry as a table cites it.

    Attributes:
        number: its number in the record, from 0.
        when: stated time on the site, short.
        by: the key of the person who recorded it.
    """

    number: int
    when: str
    by: str

    @property
    def text(self) -> str:
        """All three: "12 May 08:50, ines, no. 34"."""
        return f"{self.when}, {self.by}, no.\u00a0{self.number}"


def area_label(source: PackSource, area: str | None) -> str | None:
    """How tables name an area: by its name, or by its key where the name is too long for a cell."""
    name = source.frame.area_name(area)
    return area if name and len(name) > _LABEL_CHARACTERS else name


class Citing:
    """Looks entries up by id, and writes times as short as the record allows.

    The year is left out where all of the record lies in one; the cover then names it.
    """

    def __init__(self, source: PackSource) -> None:
        self._zone = source.job.time_zone
        self._numbers: Mapping[str, tuple[int, Entry]] = {
            entry.id: (number, entry) for number, entry in enumerate(source.job.entries)
        }
        self.years = tuple(
            sorted({entry.at.astimezone(self._zone).year for entry in source.job.entries})
        )

    def entry(self, identifier: str) -> Citation:
        """The citation of the entry with this id."""
        number, entry = self._numbers[identifier]
        return Citation(number=number, when=self.time(entry.at), by=entry.by)

    def recorded(self, recorded: Recorded[Body]) -> Citation:
        """The citation of a recorded entry."""
        return self.entry(recorded.id)

    def finding(self, found: Finding) -> Citation | None:
        """The citation of the entry that a finding rests on first, or None where on none."""
        return self.entry(found.entries[0]) if found.entries else None

    def is_entry(self, subject: str) -> bool:
        """Whether a finding's subject is an entry's id."""
        return subject in self._numbers

    def time(self, when: datetime) -> str:
        """Date and time of day on the site: "12 May 08:50"."""
        return f"{self.day(when)} {self.clock(when)}"

    def day(self, when: datetime) -> str:
        """The day on the site: "12 May", with the year where the record spans several."""
        local = when.astimezone(self._zone)
        return f"{local.day} {local:%b}" + (f" {local.year}" if len(self.years) > 1 else "")

    def exact_time(self, when: datetime) -> str:
        """Date and time on the site to the second, figures only: "2026-05-12 08:50:00"."""
        return f"{when.astimezone(self._zone):%Y-%m-%d %H:%M:%S}"

    def clock(self, when: datetime) -> str:
        """The time of day on the site: "08:50"."""
        return f"{when.astimezone(self._zone):%H:%M}"

    def numbers(self, identifiers: Iterable[str]) -> str:
        """The numbers of several entries: "12, 14"."""
        return ", ".join(str(self._numbers[identifier][0]) for identifier in identifiers)

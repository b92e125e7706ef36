"""The diary of a scripted job: entries and pictures in the order in which people wrote them.

It gives every entry its id and its second, so that the story need only say hours and minutes.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256

from qa.demo.calendar import moment
from qa.photos.drawn import DrawnPhoto, Place, Subject, Weather
from qa.record.kinds.papers import Correction, Photo
from qa.record.registry import KIND_OF, Kind
from qa.record.schema import Body, written
from qa.trade.vocabulary import Stage

SITE = Place(latitude_deg=55.5, longitude_deg=2.5)
"""A place in the North Sea, where no house can stand."""

_WITHIN_A_MINUTE_S = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """One entry as somebody wrote it, not yet taken in by a ledger.

    Attributes:
        arrives_at: when the ledger got it, where the story says so; None for a usual delay.
    """

    id: str
    at: datetime
    by: str
    body: Body
    arrives_at: datetime | None = None

    @property
    def kind(self) -> Kind:
        """The kind of its body."""
        return KIND_OF[type(self.body)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A whole job as it was written down, and the picture behind each photo file."""

    entries: tuple[Written, ...]
    pictures: tuple[tuple[str, DrawnPhoto], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a photo shows besides its stage; any of it may be left out."""

    check: str | None = None
    area: str | None = None
    bay: str | None = None
    edge: str | None = None
    lot: str | None = None
    mix: str | None = None
    nonconformity: int | None = None


class Diary:
    """Collects the entries of one job; `day`, `stage` and `weather` hold until they are changed."""

    def __init__(self) -> None:
        self.day = date(2026, 1, 1)
        self.stage = Stage.SURVEY
        self.weather = Weather.OVERCAST
        self._entries: list[Written] = []
        self._pictures: list[tuple[str, DrawnPhoto]] = []
        self._arrives_at: datetime | None = None

    def write(self, clock: str, by: str, body: Body) -> str:
        """Adds an entry of the day and answers its id.

        Args:
            clock: hours and minutes of the stated time; an earlier day's stands for that day.
            by: the person's key.
            body: what is recorded.
        """
        at = self._next_second(moment(self.day, clock))
        entry = Written(
            id=_id_of(at, len(self._entries)), at=at, by=by, body=body, arrives_at=self._arrives_at
        )
        self._entries.append(entry)
        return entry.id

    def photograph(
        self,
        clock: str,
        by: str,
        subject: Subject,
        caption: str,
        about: About | None = None,
        *,
        portrait: bool = False,
    ) -> str:
        """Adds a photo of the stage, taken a few seconds before it is sent, and answers its id.

        Args:
            clock: hours and minutes.
            by: the person who took it.
            subject: what the picture shows.
            caption: in the person's own words.
            about: what it is tied to.
            portrait: upright rather than lying.
        """
        number = len(self._pictures) + 1
        file = f"photos/{self.day:%m%d}-{number:03}.jpg"
        tied = about or About()
        identifier = self.write(
            clock,
            by,
            Photo(
                file=file,
                stage=self.stage,
                caption=caption,
                check=tied.check,
                area=tied.area,
                bay=tied.bay,
                edge=tied.edge,
                lot=tied.lot,
                mix=tied.mix,
                nonconformity=tied.nonconformity,
            ),
        )
        taken_at = self._entries[-1].at - timedelta(seconds=4 + number % 5)
        self._pictures.append(
            (
                file,
                DrawnPhoto(
                    subject=subject,
                    seed=number,
                    taken_at=taken_at,
                    weather=self.weather,
                    portrait=portrait,
                    place=SITE,
                ),
            )
        )
        return identifier

    def correct(self, clock: str, by: str, corrects: str, reason: str, body: Body | None) -> str:
        """Adds a correction of an entry and answers its id.

        Args:
            clock: hours and minutes.
            by: the person's key.
            corrects: id of the entry.
            reason: why.
            body: the new body, or None to withdraw the entry.
        """
        new_body = None if body is None else written(body)
        return self.write(clock, by, Correction(corrects=corrects, reason=reason, body=new_body))

    @contextmanager
    def arriving(self, day: date, clock: str) -> Iterator[None]:
        """Entries written inside reach the ledger only then."""
        self._arrives_at = moment(day, clock)
        try:
            yield
        finally:
            self._arrives_at = None

    def script(self) -> Script:
        """All that was written."""
        return Script(entries=tuple(self._entries), pictures=tuple(self._pictures))

    def _next_second(self, minute: datetime) -> datetime:
        """A second of a minute that comes after every earlier entry of that minute."""
        same = sum(entry.at.replace(second=0) == minute for entry in self._entries)
        second = 3 + len(self._entries) % 5 + _WITHIN_A_MINUTE_S * same
        if second > 59:
            raise ValueError(f"too many entries at {minute:%H:%M}: people do not write that fast")
        return minute + timedelta(seconds=second)


def _id_of(at: datetime, number: int) -> str:
    """A UUID of version 7: milliseconds, then digits that stand for chance.

    Real ids are drawn at random; these are the same every time so that the folder is.
    """
    milliseconds = round(at.timestamp() * 1000)
    chance = sha256(f"demonstration entry {number}".encode()).hexdigest()
    return (
        f"{milliseconds >> 16:08x}-{milliseconds & 0xFFFF:04x}-7{chance[:3]}"
        f"-8{chance[3:6]}-{chance[6:18]}"
    )

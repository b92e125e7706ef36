"""What a pack is made from, and the few look-ups that every chapter needs.

A pack is a pure function of this value: job, specification, assessment and print copies in, bytes
out. Chapters read it and build contexts; templates never see it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path

from qa.assess.finding import Assessment
from qa.assess.frame import Frame, frame_of
from qa.assess.levels import StudiedArea, study_area
from qa.record.job import Job
from qa.record.marked import Marked, marked_photos
from qa.record.reading import Record
from qa.record.schema import Withheld
from qa.specification.model import Specification
from qa.trade.picture_scale import PictureShape


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPhoto:
    """One photo as a pack shows it.

    Attributes:
        file: its name in the record: "photos/IMG_0012.jpg".
        sha256: digest of the original.
        print_copy: the clean JPEG that is embedded; None where the original was erased.
        taken_at: time from the camera, where it gave one with an offset.
        clock: what the camera's clock showed, where no offset makes an instant of it.
        camera: maker and model as the file gives them, or None.
        width_px, height_px: of the upright original.
        shown_at: where a page of the site shows it; None in a pack, which embeds its print copy.
    """

    file: str
    sha256: str
    print_copy: Path | None
    taken_at: datetime | None
    camera: str | None
    width_px: int
    height_px: int
    clock: datetime | None = None
    shown_at: str | None = None

    @property
    def shape(self) -> PictureShape:
        """Of the upright picture."""
        return PictureShape(width=self.width_px, height=self.height_px)

    @property
    def has_camera_time(self) -> bool:
        """Whether the camera noted a time, with an offset or without."""
        return self.taken_at is not None or self.clock is not None

    @property
    def address(self) -> str | None:
        """What an `img` names it by, or None where there is no copy to show."""
        return self.shown_at or (f"pack:photo/{self.sha256}" if self.print_copy else None)


@dataclass(frozen=True, kw_only=True)
class PackSource:
    """Everything that a pack is made from.

    Attributes:
        photos: by file name in the record.
        specification_bytes: the specification's file, which travels inside the pack.
        program: name and version of the program: "Laidtrue 0.1.0".
    """

    record: Record
    job: Job
    specification: Specification
    specification_bytes: bytes
    assessment: Assessment
    photos: Mapping[str, PackPhoto]
    program: str

    @cached_property
    def frame(self) -> Frame:
        """The job laid out as the assessment looked at it."""
        return frame_of(self.job, self.specification)

    @cached_property
    def studies(self) -> Mapping[str, StudiedArea]:
        """What the levels of each area say; areas without levels are left out."""
        frame = self.frame
        studied = ((key, study_area(frame, area)) for key, area in frame.areas.items())
        return {key: each for key, each in studied if each is not None}

    @cached_property
    def dated(self) -> datetime:
        """The date of the pack, UTC: when the record last grew.

        The clock of the machine that prints has no part in it, so the same record gives the same
        bytes on any day.
        """
        times = (entry.received_at or entry.at for entry in self.job.entries)
        return max(times).astimezone(UTC).replace(microsecond=0)

    @cached_property
    def marked(self) -> Mapping[str, Marked]:
        """What was drawn upon each photo that is marked, by `qa.record.marked.photo_key`."""
        return marked_photos(self.job)

    @property
    def edition(self) -> str:
        """Which state of the record a pack shows: it grows with every entry."""
        return f"edition {self.assessment.entries}, record {self.assessment.head[:12]}"

    def person(self, key: str) -> str:
        """The name of one of the crew, or the key where the name is withheld."""
        person = self.job.crew.get(key)
        return key if person is None else disclosed(person.name, key)

    def time_text(self, when: datetime) -> str:
        """Date and time on the site: "12 May 2026, 08:40"."""
        return f"{self.day_text(when)}, {when.astimezone(self.job.time_zone):%H:%M}"

    def day_text(self, when: datetime | date) -> str:
        """Date on the site: "12 May 2026"."""
        day = when.astimezone(self.job.time_zone) if isinstance(when, datetime) else when
        return f"{day.day} {day:%B %Y}"

    def clock_text(self, when: datetime) -> str:
        """Time of day on the site: "08:40"."""
        return f"{when.astimezone(self.job.time_zone):%H:%M}"


def disclosed(value: str | float | Withheld | None, otherwise: str = "withheld") -> str:
    """A personal value as text, or `otherwise` where it is withheld or was not given."""
    return otherwise if value is None or isinstance(value, Withheld) else str(value)

"""The lines in which lists sum a job up, as values; each is a row of one table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

FindingKey = tuple[str, str, str, str, str]
"""Check, stage, area, bay and subject: what is judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """A job as its row sums it up; the attributes are those of `JobRow`."""

    reference: str
    title: str
    specification: str
    time_zone: str
    entries: int
    head: str
    opened_at: datetime
    last_received_at: datetime
    address_entry: str | None
    address_field: str | None
    stage: str | None
    told: int
    complete: bool
    next_look: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingLine:
    """Something outside its limits; empty text stands for what it does not name."""

    check: str
    stage: str
    area: str
    bay: str
    subject: str
    entry_id: str | None
    exact: str
    late: bool
    noted_at: datetime

    @property
    def key(self) -> FindingKey:
        """What is judged."""
        return (self.check, self.stage, self.area, self.bay, self.subject)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """A batch that a job holds."""

    lot: str
    material: str
    product: str
    batch_number: str
    use_by: date | None
    batch_key: str
    seq: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidLine:
    """Where an entry says that a batch went; empty text stands for what it does not name."""

    lot: str
    entry_id: str
    stage: str
    area: str
    mix: str
    bays: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class WordLine:
    """A word by which a job is found."""

    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FactsLine:
    """What a job has to tell beside others, as JSON."""

    facts: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseLine:
    """A stage that waits for a supervisor."""

    stage: str
    signed_at: datetime
    signed_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLine:
    """A photo entry and the original that it names."""

    entry_id: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """Everything that lists show of one job."""

    job: JobLine
    findings: tuple[FindingLine, ...]
    lots: tuple[LotLine, ...]
    laid: tuple[LaidLine, ...]
    releases: tuple[ReleaseLine, ...]
    photos: tuple[PhotoLine, ...]
    words: tuple[WordLine, ...]
    facts: tuple[FactsLine, ...]

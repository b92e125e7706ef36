"""A `Job`: the fold of a record's entries into one immutable value.

Corrections are applied here and only here: whoever reads a `Job` sees every entry with the body
that is in force, beside the entry as it was first written and every correction of it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Generic, TypeVar
from zoneinfo import ZoneInfo

from qa.record.chain import head_of
from qa.record.entry import Entry
from qa.record.kinds.decisions import Closure, Disposition, Nonconformity, SignOff
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Correction, Erasure, Handover, Inspection, Note, Photo
from qa.record.kinds.parties import Opening, Person
from qa.record.kinds.place import Area
from qa.record.kinds.readings import (
    Conditions,
    Examination,
    Interruption,
    Measurement,
    Observation,
)
from qa.record.kinds.supplies import Instrument, Lot, Mix, Usage
from qa.record.reading import Record
from qa.record.registry import Kind
from qa.record.schema import Body

B_co = TypeVar("B_co", bound=Body, covariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded(Generic[B_co]):
    """An entry with the body that is in force.

    Attributes:
        position: place in the record, from 0.
        entry: the entry as it was first written.
        body: the body in force, after all corrections.
        corrections: the entries that corrected it, in order.
    """

    position: int
    entry: Entry
    body: B_co
    corrections: tuple[Entry, ...] = ()

    @property
    def id(self) -> str:
        """The entry's id."""
        return self.entry.id

    @property
    def at(self) -> datetime:
        """When it was seen or done, as the writer states it."""
        return self.entry.at

    @property
    def by(self) -> str:
        """The key of the person who recorded it."""
        return self.entry.by


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Everything that a record says, with corrections applied, in the order of the record.

    Attributes:
        entries: all entries as they were written, corrections and withdrawn ones too.
        head: hash of the last entry, see `qa.record.chain.head_of`.
        withdrawn: entries that a correction took back; they are in no other list.
    """

    entries: tuple[Entry, ...]
    head: str
    opening: Recorded[Opening]
    areas: tuple[Recorded[Area], ...]
    instruments: tuple[Recorded[Instrument], ...]
    lots: tuple[Recorded[Lot], ...]
    conditions: tuple[Recorded[Conditions], ...]
    measurements: tuple[Recorded[Measurement], ...]
    observations: tuple[Recorded[Observation], ...]
    mixes: tuple[Recorded[Mix], ...]
    usages: tuple[Recorded[Usage], ...]
    examinations: tuple[Recorded[Examination], ...]
    photos: tuple[Recorded[Photo], ...]
    interruptions: tuple[Recorded[Interruption], ...]
    sign_offs: tuple[Recorded[SignOff], ...]
    nonconformities: tuple[Recorded[Nonconformity], ...]
    dispositions: tuple[Recorded[Disposition], ...]
    closures: tuple[Recorded[Closure], ...]
    corrections: tuple[Recorded[Correction], ...]
    erasures: tuple[Recorded[Erasure], ...]
    notes: tuple[Recorded[Note], ...]
    handovers: tuple[Recorded[Handover], ...]
    inspections: tuple[Recorded[Inspection], ...]
    annotations: tuple[Recorded[Annotation], ...]
    withdrawn: tuple[Recorded[Body], ...]

    @property
    def reference(self) -> str:
        """The firm's reference of the job."""
        return self.opening.body.job

    @property
    def time_zone(self) -> ZoneInfo:
        """The zone in which the job's days begin and its times are shown."""
        return ZoneInfo(self.opening.body.time_zone)

    @property
    def crew(self) -> Mapping[str, Person]:
        """The crew by key."""
        return {person.person: person for person in self.opening.body.crew}


_ATTRIBUTES: Mapping[Kind, str] = {
    Kind.AREA: "areas",
    Kind.INSTRUMENT: "instruments",
    Kind.LOT: "lots",
    Kind.CONDITIONS: "conditions",
    Kind.MEASUREMENT: "measurements",
    Kind.OBSERVATION: "observations",
    Kind.MIX: "mixes",
    Kind.USAGE: "usages",
    Kind.EXAMINATION: "examinations",
    Kind.PHOTO: "photos",
    Kind.INTERRUPTION: "interruptions",
    Kind.SIGN_OFF: "sign_offs",
    Kind.NONCONFORMITY: "nonconformities",
    Kind.DISPOSITION: "dispositions",
    Kind.CLOSURE: "closures",
    Kind.CORRECTION: "corrections",
    Kind.ERASURE: "erasures",
    Kind.NOTE: "notes",
    Kind.HANDOVER: "handovers",
    Kind.INSPECTION: "inspections",
    Kind.ANNOTATION: "annotations",
}


def fold(record: Record) -> Job:
    """The job that a record tells.

    Args:
        record: as `qa.record.reading.read_record` answers it, so that every reference holds.
    """
    folding = Folding()
    for entry in record.entries:
        folding.add(entry)
    return folding.job()


class Folding:
    """A fold that goes on: entries are added one by one, and the job so far can be had any time.

    Adding an entry costs the same however many there are, and having the job costs little more than
    copying its lists.
    """

    def __init__(self) -> None:
        """Of no entry."""
        self._entries: list[Entry] = []
        self._in_force: dict[Kind, dict[str, Recorded[Any]]] = defaultdict(dict)
        self._withdrawn: dict[str, Recorded[Body]] = {}
        self._places: dict[str, int] = {}

    def add(self, entry: Entry) -> None:
        """Adds the next entry of the record."""
        position = len(self._entries)
        self._entries.append(entry)
        self._places[entry.id] = position
        self._put(Recorded(position=position, entry=entry, body=entry.body))
        if isinstance(entry.body, Correction):
            self._correct(entry, entry.body.corrects)

    def job(self) -> Job:
        """The job so far; the first entry must have been added."""
        lists: dict[str, Any] = {
            attribute: self._list(kind) for kind, attribute in _ATTRIBUTES.items()
        }
        return Job(
            entries=tuple(self._entries),
            head=head_of(self._entries),
            opening=next(iter(self._in_force[Kind.JOB].values())),
            withdrawn=tuple(sorted(self._withdrawn.values(), key=_position)),
            **lists,
        )

    def _put(self, recorded: Recorded[Any]) -> None:
        self._in_force[recorded.entry.kind][recorded.id] = recorded

    def _list(self, kind: Kind) -> tuple[Recorded[Any], ...]:
        found = self._in_force.get(kind, {}).values()
        return tuple(sorted(found, key=_position)) if self._withdrawn else tuple(found)

    def _correct(self, correction: Entry, corrects: str) -> None:
        """Puts the corrected body into force, or takes the entry back."""
        corrected = self._entries[self._places[corrects]]
        held = self._in_force[corrected.kind].get(corrects) or self._withdrawn[corrects]
        corrections = (*held.corrections, correction)
        if correction.new_body is None:
            self._in_force[corrected.kind].pop(corrects, None)
            body = corrected.body
            self._withdrawn[corrects] = replace(held, body=body, corrections=corrections)
        else:
            self._withdrawn.pop(corrects, None)
            self._put(replace(held, body=correction.new_body, corrections=corrections))


def _position(recorded: Recorded[Any]) -> int:
    return recorded.position

"""A record that grows by one entry at a time, as a ledger lets it.

Reading a record from its text checks everything at once; here each entry is checked against what
came before, in a time that does not grow with the record. Only a correction is checked against the
whole, since it may change what other entries name. No clock, no file, no database.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from qa.errors import Problem, RecordError
from qa.record.chain import GENESIS, chain_fault
from qa.record.disclosure import Disclosure, disclose
from qa.record.entry import Entry, read_entry
from qa.record.fields import Fault, Json
from qa.record.job import Folding, Job, Recorded, fold
from qa.record.kinds.papers import Correction
from qa.record.kinds.readings import Conditions
from qa.record.lines import fault_problems
from qa.record.reading import Record
from qa.record.references import References, reference_problems
from qa.record.registry import Kind
from qa.record.sealing import Arrival, PhotoFile, seal_next
from qa.trade.vocabulary import Stage

GROUND = frozenset({Kind.JOB, Kind.AREA, Kind.INSTRUMENT, Kind.LOT})
"""Kinds that say what the job is, where, and with what; all others tell of the work."""


class GrowingRecord:
    """The entries of one job so far, with what it takes to add the next.

    Attributes:
        entries: sealed, in order.
        disclosures: by entry and field.
        ground: the job with nothing but its entries of the kinds in `GROUND`; None while empty.
        last_readings: the last reading of each stage.
    """

    def __init__(self, record: Record) -> None:
        """From a sealed record whose references hold, or an empty one."""
        self.entries: list[Entry] = []
        self.disclosures: dict[tuple[str, str], Disclosure] = {}
        self.ground: Job | None = None
        self.last_readings: dict[Stage, Recorded[Conditions]] = {}
        self._by_id: dict[str, Entry] = {}
        self._kinds: dict[str, Kind] = {}
        self._folding = Folding()
        self._references = References(record.entries)
        for entry in record.entries:
            self._keep(entry)
        self.disclosures = {(d.entry, d.field): d for d in record.disclosures}
        self._lay_ground()

    @property
    def head(self) -> str:
        """Hash of the last entry, or that of an empty record."""
        return (self.entries[-1].hash or GENESIS) if self.entries else GENESIS

    @property
    def record(self) -> Record:
        """The record as it stands."""
        return Record(entries=tuple(self.entries), disclosures=tuple(self.disclosures.values()))

    def job(self) -> Job:
        """The job that the record tells; the record must not be empty."""
        return self._folding.job()

    def find(self, identifier: str) -> Entry | None:
        """The entry of that id, or None."""
        return self._by_id.get(identifier)

    def kind_of(self, identifier: str) -> Kind | None:
        """The kind of the entry of that id, or None."""
        return self._kinds.get(identifier)

    def read(self, written: Mapping[str, Json]) -> Entry:
        """An entry that is to come next, read and checked.

        Raises:
            RecordError: with every fault of it.
        """
        try:
            entry = read_entry(dict(written), kinds=self._kinds)
        except Fault as fault:
            raise RecordError(tuple(fault_problems(fault, "entry"))) from fault
        if (entry.kind is Kind.JOB) == bool(self.entries):
            sentence = (
                "opens a job a second time; correct the first entry instead."
                if self.entries
                else "a record opens with kind job."
            )
            raise RecordError((Problem(place="entry", sentence=sentence, field="kind"),))
        if entry.id not in self._by_id:  # sent again, it would find its own key taken
            self._require_references(entry)
        return entry

    def _require_references(self, entry: Entry) -> None:
        problems = (
            tuple(reference_problems([*self.entries, entry]))
            if isinstance(entry.body, Correction)
            else tuple(self._references.problems(entry))
        )
        if problems:
            raise RecordError(problems)

    def seal(
        self,
        entry: Entry,
        arrival: Arrival,
        *,
        photos: Mapping[str, PhotoFile],
        new_salt: Callable[[], str],
    ) -> tuple[Entry, tuple[Disclosure, ...]]:
        """The entry as the next of the chain, with the personal values moved out of it."""
        return seal_next(
            entry,
            arrival,
            seq=len(self.entries),
            prev=self.head,
            kinds=self._kinds,
            photos=photos,
            new_salt=new_salt,
        )

    def take(self, sealed: Entry, disclosures: Iterable[Disclosure]) -> None:
        """Adds a sealed entry; it must be the next of the chain.

        Raises:
            ValueError: it is not, which is a fault of the program.
        """
        if sealed.prev != self.head or sealed.seq != len(self.entries):
            raise ValueError(f"entry {sealed.id} does not follow {self.head}")
        self._keep(sealed)
        self.disclosures |= {(d.entry, d.field): d for d in disclosures}
        if isinstance(sealed.body, Correction):
            self._references = References(self.entries)
        else:
            self._references.take(sealed)
        if self._is_ground(sealed):
            self._lay_ground()

    def take_kept(self, written: Mapping[str, Json], disclosures: Iterable[Disclosure]) -> Entry:
        """Adds an entry that a ledger has kept meanwhile, as it stands in the record.

        Raises:
            RecordError: it does not continue the chain, or cannot be read.
        """
        apart = tuple(disclosures)
        opened = {**written, "body": disclose(written["body"], apart)} if apart else dict(written)
        line = len(self.entries) + 1
        try:
            entry = read_entry(dict(written), kinds=self._kinds, opened=opened, line=line)
        except Fault as fault:
            raise RecordError(tuple(fault_problems(fault, "ledger", line))) from fault
        broken = chain_fault(entry, seq=len(self.entries), prev=self.head)
        if broken:
            raise RecordError((Problem(place=f"ledger, entry {line}", sentence=f"{broken}."),))
        self.take(entry, apart)
        return entry

    def _keep(self, entry: Entry) -> None:
        self.entries.append(entry)
        self._folding.add(entry)
        self._by_id[entry.id] = entry
        self._kinds[entry.id] = entry.kind
        if isinstance(entry.body, Conditions):
            position = len(self.entries) - 1
            reading = Recorded(position=position, entry=entry, body=entry.body)
            self.last_readings[entry.body.stage] = reading

    def _is_ground(self, entry: Entry) -> bool:
        of = entry.body.corrects if isinstance(entry.body, Correction) else entry.id
        return self._kinds[of] in GROUND

    def _lay_ground(self) -> None:
        entries = tuple(entry for entry in self.entries if self._is_ground(entry))
        self.ground = fold(Record(entries=entries)) if entries else None

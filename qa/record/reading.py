"""From the text of `record.jsonl` and `personal.jsonl` to a `Record`, or every fault in them.

All or nothing: either the whole record is answered, or a `RecordError` that lists all that is
wrong, line by line.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from qa.errors import Problem, RecordError
from qa.record.chain import GENESIS, chain_fault
from qa.record.disclosure import Disclosure, disclose, entry_paths
from qa.record.entry import Entry, read_entry
from qa.record.fields import Fault, Json
from qa.record.kinds.parties import Opening
from qa.record.lines import fault_problems, problem_at, read_lines
from qa.record.references import reference_problems
from qa.record.registry import BODIES, Kind
from qa.record.schema import object_reader

RECORD_FILE = "record.jsonl"
PERSONAL_FILE = "personal.jsonl"
SPECIFICATION_FILE = "specification.toml"
_AS_EXPORTED = "Put back the file as it was exported."


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The entries of one job in order, and the personal values disclosed with them."""

    entries: tuple[Entry, ...]
    disclosures: tuple[Disclosure, ...] = ()

    @property
    def is_sealed(self) -> bool:
        """Whether a ledger has taken the record in, so that it carries a chain."""
        return bool(self.entries) and self.entries[0].is_sealed

    @property
    def opening(self) -> Opening:
        """What the first entry says, as it was first written.

        Raises:
            ValueError: a record without an entry, which no reader answers.
        """
        for entry in self.entries[:1]:
            if isinstance(entry.body, Opening):
                return entry.body
        raise ValueError("A record opens with kind job.")


def read_record(record_text: str, personal_text: str | None = None) -> Record:
    """A record from its text.

    Args:
        record_text: `record.jsonl`, one JSON object a line.
        personal_text: `personal.jsonl`, or None where there is none.

    Raises:
        RecordError: with every fault found.
    """
    problems: list[Problem] = []
    disclosures = _read_disclosures(personal_text, problems) if personal_text else {}
    entries = _read_entries(record_text, disclosures.values(), problems)
    if not problems:
        problems.extend(_stray_problems(entries, disclosures))
        problems.extend(_chain_problems(entries))
    if not problems:
        problems.extend(reference_problems(entries))
    if problems:
        raise RecordError(tuple(problems))
    return Record(entries=entries, disclosures=tuple(disclosures.values()))


def _read_disclosures(text: str, problems: list[Problem]) -> dict[int, Disclosure]:
    """The disclosures by their line."""
    read = object_reader(Disclosure)
    disclosures: dict[int, Disclosure] = {}
    lines: dict[tuple[str, str], int] = {}
    for number, parsed in read_lines(text, PERSONAL_FILE, problems):
        try:
            disclosure = read(parsed)
        except Fault as fault:
            problems.extend(fault_problems(fault, PERSONAL_FILE, number))
            continue
        earlier = lines.setdefault((disclosure.entry, disclosure.field), number)
        if earlier == number:
            disclosures[number] = disclosure
        else:
            sentence = f"discloses what line {earlier} discloses; leave one of them out."
            problems.append(problem_at(PERSONAL_FILE, number, sentence))
    return disclosures


def _stray_problems(
    entries: tuple[Entry, ...], disclosures: Mapping[int, Disclosure]
) -> Iterator[Problem]:
    """Disclosures of entries that the record does not have."""
    ids = {entry.id for entry in entries}
    for number, disclosure in disclosures.items():
        if disclosure.entry not in ids:
            sentence = f"entry is {disclosure.entry}, which is not in the record; remove the line."
            yield problem_at(PERSONAL_FILE, number, sentence, "entry")


def _read_entries(
    text: str, disclosures: Iterable[Disclosure], problems: list[Problem]
) -> tuple[Entry, ...]:
    apart: dict[str, list[Disclosure]] = defaultdict(list)
    for disclosure in disclosures:
        apart[disclosure.entry].append(disclosure)
    entries: list[Entry] = []
    kinds: dict[str, Kind] = {}
    by_id: dict[str, Entry] = {}
    for number, parsed in read_lines(text, RECORD_FILE, problems):
        try:
            entry = _read_line(parsed, number, kinds, apart)
        except Fault as fault:
            problems.extend(fault_problems(fault, RECORD_FILE, number))
            _note_kind(parsed, kinds)
            continue
        earlier = by_id.get(entry.id)
        if earlier is None:
            by_id[entry.id] = entry
            kinds[entry.id] = entry.kind
            entries.append(entry)
        elif earlier.written != entry.written:
            problems.append(
                problem_at(
                    RECORD_FILE,
                    number,
                    f"id is that of line {earlier.line}, which has another content; "
                    "give a new entry a new id.",
                    "id",
                )
            )
    problems.extend(_opening_problems(entries, problems))
    return tuple(entries)


def _read_line(
    parsed: Json, number: int, kinds: Mapping[str, Kind], apart: dict[str, list[Disclosure]]
) -> Entry:
    opened = parsed
    disclosed: list[Disclosure] = []
    if apart and type(parsed) is dict and type(parsed.get("id")) is str:
        disclosed = apart.get(parsed["id"], [])
        if disclosed and type(parsed.get("body")) is dict:
            opened = {**parsed, "body": disclose(parsed["body"], disclosed)}
    entry = read_entry(parsed, kinds=kinds, opened=opened, line=number)
    _require_personal_apart(entry, {disclosure.field for disclosure in disclosed})
    return entry


def _require_personal_apart(entry: Entry, disclosed: set[str]) -> None:
    """Refuses a disclosure of what is not personal, and a personal value under the chain."""
    personal = set(entry_paths(entry))
    for path in sorted(disclosed - personal):
        raise Fault(f"has {path} in {PERSONAL_FILE}, which is no personal field; write it here")
    if entry.is_sealed:
        for path in sorted(personal - disclosed):
            raise Fault(
                f"holds the personal value {path} under its hash; a sealed entry holds its digest, "
                f"and {PERSONAL_FILE} the value"
            )


def _note_kind(parsed: Json, kinds: dict[str, Kind]) -> None:
    """Keeps the kind of a faulty entry, so that its corrections are judged on their own."""
    if type(parsed) is not dict:
        return
    identifier, word = parsed.get("id"), parsed.get("kind")
    if type(identifier) is str and type(word) is str and word in BODIES:
        kinds.setdefault(identifier, Kind(word))


def _opening_problems(entries: list[Entry], found: list[Problem]) -> Iterator[Problem]:
    """What is wrong with the entry that opens the job; silent where a line could not be read."""
    if not entries:
        if not found:
            yield Problem(place=RECORD_FILE, sentence="has no entry; the first is of kind job.")
        return
    if entries[0].kind is not Kind.JOB and not found:
        yield problem_at(
            RECORD_FILE,
            entries[0].line,
            f"the first entry is of kind {entries[0].kind}; a record opens with kind job.",
            "kind",
        )
    openings = [entry for entry in entries if entry.kind is Kind.JOB]
    for entry in openings[1:]:
        yield problem_at(
            RECORD_FILE,
            entry.line,
            "opens a job a second time; one record holds one job. Correct the first entry "
            "instead, or start another folder.",
            "kind",
        )


def _chain_problems(entries: tuple[Entry, ...]) -> Iterator[Problem]:
    """The first place at which the chain does not hold; one break makes all that follows moot."""
    prev = GENESIS
    sealed = entries[0].is_sealed
    for seq, entry in enumerate(entries):
        if entry.is_sealed != sealed:
            yield problem_at(
                RECORD_FILE,
                entry.line,
                "some entries carry seq, received_at, prev and hash and some do not; "
                "import the folder as it was exported, or as it was written by hand.",
            )
            return
        if not sealed:
            continue
        fault = chain_fault(entry, seq=seq, prev=prev)
        if fault:
            sentence = f"the chain does not hold: {fault}. {_AS_EXPORTED}"
            yield problem_at(RECORD_FILE, entry.line, sentence, "hash")
            return
        prev = entry.hash or prev

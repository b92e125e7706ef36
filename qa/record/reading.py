"""From the text of `record.jsonl` and `personal.jsonl` to a `Record`, or every fault in them.

All or nothing: either the whole record is answered, or a `RecordError` that lists all that is
wrong, line by line.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from qa.errors import Problem, RecordError
from qa.record.chain import GENESIS, chain_fault
from qa.record.disclosure import Disclosure, disclose
from qa.record.entry import Entry, read_entry
from qa.record.fields import Fault, Json
from qa.record.kinds.parties import Opening
from qa.record.references import reference_problems
from qa.record.registry import Kind
from qa.record.schema import object_reader

RECORD_FILE = "record.jsonl"
PERSONAL_FILE = "personal.jsonl"
LONGEST_LINE = 8_000_000
"""Characters; a record's longest true line is an outline of some thousand corners."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The entries of one job in order, and the personal values disclosed with them."""

    entries: tuple[Entry, ...]
    disclosures: tuple[Disclosure, ...] = ()

    @property
    def is_sealed(self) -> bool:
        """Whether a ledger has taken the record in, so that it carries a chain."""
        return bool(self.entries) and self.entries[0].is_sealed


def read_record(record_text: str, personal_text: str | None = None) -> Record:
    """A record from its text.

    Args:
        record_text: `record.jsonl`, one JSON object a line.
        personal_text: `personal.jsonl`, or None where there is none.

    Raises:
        RecordError: with every fault found.
    """
    problems: list[Problem] = []
    disclosures = _read_disclosures(personal_text, problems) if personal_text else ()
    entries = _read_entries(record_text, disclosures, problems)
    if not problems:
        problems.extend(_chain_problems(entries))
    if not problems:
        problems.extend(reference_problems(entries))
    if problems:
        raise RecordError(tuple(problems))
    return Record(entries=entries, disclosures=disclosures)


def _lines(text: str, file: str, problems: list[Problem]) -> Iterator[tuple[int, Json]]:
    """Number and parsed object of each line that is not blank."""
    for number, line in enumerate(text.split("\n"), start=1):
        if not line or line.isspace():
            continue
        try:
            if len(line) > LONGEST_LINE:
                raise ValueError(f"has {len(line)} characters, more than {LONGEST_LINE}")
            yield number, _parse(line)
        except (ValueError, RecursionError) as error:
            problems.append(_at(file, number, f"{_why_no_json(line, error)} Mend the line."))


def _unique(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    names = dict(pairs)
    if len(names) != len(pairs):
        raise ValueError("gives one field twice")
    return names


def _refuse_constant(name: str) -> Json:
    raise ValueError(f"holds {name}, which is no number")


_decoder = json.JSONDecoder(object_pairs_hook=_unique, parse_constant=_refuse_constant)


def _parse(line: str) -> Json:
    return _decoder.decode(line)


def _why_no_json(line: str, error: Exception) -> str:
    if isinstance(error, json.JSONDecodeError):
        if not line.rstrip().endswith("}"):
            return "the line breaks off before its closing bracket; it is truncated."
        return f"the line is not JSON at character {error.colno}: {error.msg}."
    if isinstance(error, RecursionError):
        return "the line nests too deeply."
    return f"the line {error}."


def _read_disclosures(text: str, problems: list[Problem]) -> tuple[Disclosure, ...]:
    read = object_reader(Disclosure)
    disclosures = []
    for number, parsed in _lines(text, PERSONAL_FILE, problems):
        try:
            disclosures.append(read(parsed))
        except Fault as fault:
            problems.extend(_fault_problems(fault, PERSONAL_FILE, number))
    return tuple(disclosures)


def _read_entries(
    text: str, disclosures: Iterable[Disclosure], problems: list[Problem]
) -> tuple[Entry, ...]:
    apart: dict[str, list[Disclosure]] = defaultdict(list)
    for disclosure in disclosures:
        apart[disclosure.entry].append(disclosure)
    entries: list[Entry] = []
    kinds: dict[str, Kind] = {}
    by_id: dict[str, Entry] = {}
    for number, parsed in _lines(text, RECORD_FILE, problems):
        try:
            entry = _read_line(parsed, number, kinds, apart)
        except Fault as fault:
            problems.extend(_fault_problems(fault, RECORD_FILE, number))
            continue
        earlier = by_id.get(entry.id)
        if earlier is None:
            by_id[entry.id] = entry
            kinds[entry.id] = entry.kind
            entries.append(entry)
        elif earlier.written != entry.written:
            problems.append(
                _at(
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
    if apart and type(parsed) is dict and type(parsed.get("id")) is str:
        disclosed = apart.pop(parsed["id"], None)
        if disclosed and type(parsed.get("body")) is dict:
            opened = {**parsed, "body": disclose(parsed["body"], disclosed)}
    return read_entry(parsed, kinds=kinds, opened=opened, line=number)


def _opening_problems(entries: list[Entry], found: list[Problem]) -> Iterator[Problem]:
    """What is wrong with the entry that opens the job; silent where a line could not be read."""
    if not entries:
        if not found:
            yield Problem(place=RECORD_FILE, sentence="has no entry; the first is of kind job.")
        return
    if entries[0].kind is not Kind.JOB and not found:
        yield _at(
            RECORD_FILE,
            entries[0].line,
            f"the first entry is of kind {entries[0].kind}; a record opens with kind job.",
            "kind",
        )
    for entry in entries[1:]:
        if isinstance(entry.body, Opening):
            yield _at(
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
            yield _at(
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
            yield _at(RECORD_FILE, entry.line, f"the chain does not hold: {fault}.", "hash")
            return
        prev = entry.hash or prev


def _fault_problems(fault: Fault, file: str, number: int) -> Iterator[Problem]:
    for path, sentence in fault.faults:
        field = path.lstrip(".")
        yield _at(file, number, f"{field} {sentence}.".lstrip(), field or None)


def _at(file: str, line: int | None, sentence: str, field: str | None = None) -> Problem:
    place = file if line is None else f"{file}, line {line}"
    return Problem(place=place, sentence=sentence, line=line, field=field)

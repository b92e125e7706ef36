"""From the text of `record.jsonl` and `personal.jsonl` to a `Record`, or every fault in them.

All or nothing: either the whole record is answered, or a `RecordError` that lists all that is
wrong, line by line.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from qa.errors import Problem, RecordError
from qa.record.chain import GENESIS, chain_fault
from qa.record.disclosure import Disclosure, disclose, entry_paths
from qa.record.entry import Entry, read_entry
from qa.record.fields import Fault, Json, shown
from qa.record.references import reference_problems
from qa.record.registry import BODIES, Kind
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


def _lines(text: str, file: str, problems: list[Problem]) -> Iterator[tuple[int, Json]]:
    """Number and parsed object of each line that is not blank."""
    for number, line in enumerate(text.split("\n"), start=1):
        if not line or line.isspace():
            continue
        try:
            if len(line) > LONGEST_LINE:
                raise _LineError(f"has {len(line)} characters, more than {LONGEST_LINE}")
            yield number, _parse(line)
        except (ValueError, RecursionError) as error:
            problems.append(_at(file, number, f"{_why_no_json(line, error)} Mend the line."))


class _LineError(ValueError):
    """What is wrong with a line, to follow the words “the line”."""


def _unique(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    names = dict(pairs)
    if len(names) != len(pairs):
        given = [name for name, _ in pairs]
        twice = next(name for name in given if given.count(name) > 1)
        raise _LineError(f"gives the field {shown(twice)} twice; leave one of them out")
    return names


def _refuse_constant(name: str) -> Json:
    raise _LineError(f"holds {name}, which is no number")


_decoder = json.JSONDecoder(object_pairs_hook=_unique, parse_constant=_refuse_constant)


def _parse(line: str) -> Json:
    parsed = _decoder.decode(line)
    if "\\u" in line and _SURROGATE.search(json.dumps(parsed, ensure_ascii=False)):
        raise _LineError("holds half a character, a surrogate escape without its pair")
    return parsed


_SURROGATE = re.compile("[\ud800-\udfff]")


def _why_no_json(line: str, error: Exception) -> str:
    if isinstance(error, json.JSONDecodeError):
        if not line.rstrip().endswith("}"):
            return "the line breaks off before its closing bracket; it is truncated."
        return f"the line is not JSON at character {error.colno}: {error.msg}."
    if isinstance(error, RecursionError):
        return "the line nests too deeply."
    if isinstance(error, _LineError):
        return f"the line {error}."
    return "the line holds a number of more digits than can be read."


def _read_disclosures(text: str, problems: list[Problem]) -> dict[int, Disclosure]:
    """The disclosures by their line."""
    read = object_reader(Disclosure)
    disclosures: dict[int, Disclosure] = {}
    lines: dict[tuple[str, str], int] = {}
    for number, parsed in _lines(text, PERSONAL_FILE, problems):
        try:
            disclosure = read(parsed)
        except Fault as fault:
            problems.extend(_fault_problems(fault, PERSONAL_FILE, number))
            continue
        earlier = lines.setdefault((disclosure.entry, disclosure.field), number)
        if earlier == number:
            disclosures[number] = disclosure
        else:
            sentence = f"discloses what line {earlier} discloses; leave one of them out."
            problems.append(_at(PERSONAL_FILE, number, sentence))
    return disclosures


def _stray_problems(
    entries: tuple[Entry, ...], disclosures: Mapping[int, Disclosure]
) -> Iterator[Problem]:
    """Disclosures of entries that the record does not have."""
    ids = {entry.id for entry in entries}
    for number, disclosure in disclosures.items():
        if disclosure.entry not in ids:
            sentence = f"entry is {disclosure.entry}, which is not in the record; remove the line."
            yield _at(PERSONAL_FILE, number, sentence, "entry")


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
            _note_kind(parsed, kinds)
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
        yield _at(
            RECORD_FILE,
            entries[0].line,
            f"the first entry is of kind {entries[0].kind}; a record opens with kind job.",
            "kind",
        )
    openings = [entry for entry in entries if entry.kind is Kind.JOB]
    for entry in openings[1:]:
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
        stop = "" if sentence.endswith("?") else "."
        yield _at(file, number, f"{field} {sentence}{stop}".lstrip(), field or None)


def _at(file: str, line: int | None, sentence: str, field: str | None = None) -> Problem:
    place = file if line is None else f"{file}, line {line}"
    return Problem(place=place, sentence=sentence, line=line, field=field)

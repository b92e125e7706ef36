"""Whether the entries of a record agree with each other: people, areas, edges, keys, numbers.

A lot or an instrument that nobody registered is not refused: the work was done with it all the
same, and the assessment says that it cannot be traced. Only a usage needs its lot, which alone
tells what was used.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from qa.errors import Problem
from qa.record.entry import Entry
from qa.record.kinds.decisions import Closure, Nonconformity
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Correction, ErasedDisclosure, Erasure, Photo
from qa.record.kinds.parties import Opening
from qa.record.kinds.place import Area
from qa.record.kinds.readings import Examination, Measurement, Observation
from qa.record.kinds.supplies import Instrument, Lot, Mix, Usage
from qa.record.registry import KIND_OF
from qa.record.schema import Body


@dataclass(slots=True)
class _Known:
    """What the record has named: people and photos at any time, the rest by what is in force."""

    people: set[str] = field(default_factory=set)
    edges: dict[str, set[str]] = field(default_factory=dict)
    lots: set[str] = field(default_factory=set)
    nonconformities: set[int] = field(default_factory=set)
    ids: set[str] = field(default_factory=set)
    photos: set[str] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class _Standing:
    """A body that is in force, and the entry that put it there: the first one or a correction."""

    position: int
    source: Entry
    body: Body


def reference_problems(entries: Sequence[Entry]) -> Iterator[Problem]:
    """Every reference of the record that leads nowhere, and every key given twice.

    What is in force is what must agree: a corrected body may name anything, and what was withdrawn
    or renamed is no longer there to be named.

    Args:
        entries: the record's entries in order, each readable on its own.
    """
    standing = _standing(entries)
    known = _gather(entries, standing)
    found: list[tuple[int, Problem]] = []
    for position, entry in enumerate(entries):
        if entry.by not in known.people:
            sentence = _nowhere("by", entry.by, "is not of the crew", known.people)
            found.append((position, _problem(entry, "by", sentence)))
    for one in standing:
        for name, sentence in _faults(one.source, one.body, known):
            found.append((one.position, _problem(one.source, name, sentence)))
    found.extend(_keys_given_twice(standing))
    yield from (problem for _, problem in sorted(found, key=lambda pair: pair[0]))


class References:
    """What a growing record has named, so that one more entry is checked without the others."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        """From the entries of a record whose references hold."""
        standing = _standing(entries)
        self._known = _gather(entries, standing)
        self._keys = {
            (type(one.body), key)
            for one in standing
            if (key := _registered_key(one.body)) is not None
        }

    def problems(self, entry: Entry) -> Iterator[Problem]:
        """Every reference of one more entry, no correction, that leads nowhere."""
        known, body = self._known, entry.body
        if entry.by not in known.people and not isinstance(body, Opening):
            yield _problem(
                entry, "by", _nowhere("by", entry.by, "is not of the crew", known.people)
            )
        if not isinstance(body, Area):
            for name, sentence in _faults(entry, body, known):
                yield _problem(entry, name, sentence)
        key = _registered_key(body)
        if (type(body), key) in self._keys:
            sentence = (
                f"{entry.kind} “{key}” is already registered; use another key, or correct the "
                "entry that registered it."
            )
            yield _problem(entry, f"{entry.kind}.{entry.kind}", sentence)

    def take(self, entry: Entry) -> None:
        """Notes what one more entry, no correction, names."""
        _note(self._known, entry.body)
        self._known.ids.add(entry.id)
        if isinstance(entry.body, Photo):
            self._known.photos.add(entry.id)
        key = _registered_key(entry.body)
        if key is not None:
            self._keys.add((type(entry.body), key))


def _standing(entries: Sequence[Entry]) -> tuple[_Standing, ...]:
    """The bodies in force, in the order in which their entries came."""
    standing: dict[str, _Standing | None] = {}
    for position, entry in enumerate(entries):
        if not isinstance(entry.body, Correction):
            standing[entry.id] = _Standing(position, entry, entry.body)
        elif entry.new_body is None:
            standing[entry.body.corrects] = None
        else:
            standing[entry.body.corrects] = _Standing(position, entry, entry.new_body)
    return tuple(one for one in standing.values() if one is not None)


def _gather(entries: Sequence[Entry], standing: Sequence[_Standing]) -> _Known:
    photos = {entry.id for entry in entries if isinstance(entry.body, Photo)}
    known = _Known(ids={entry.id for entry in entries}, photos=photos)
    for entry in entries:
        for body in (entry.body, entry.new_body):
            if isinstance(body, Opening):
                known.people.update(person.person for person in body.crew)
    for one in standing:
        _note(known, one.body)
    return known


def _note(known: _Known, body: Body) -> None:
    match body:
        case Opening():
            known.people.update(person.person for person in body.crew)
        case Area():
            known.edges[body.area] = {edge.edge for edge in body.edges}
        case Lot():
            known.lots.add(body.lot)
        case Nonconformity():
            known.nonconformities.add(body.number)


def _keys_given_twice(standing: Sequence[_Standing]) -> Iterator[tuple[int, Problem]]:
    first: dict[tuple[type, object], Entry] = {}
    for one in standing:
        key = _registered_key(one.body)
        if key is None:
            continue
        earlier = first.setdefault((type(one.body), key), one.source)
        if earlier is not one.source:
            place = f"line {earlier.line}" if earlier.line else "an earlier entry"
            kind = KIND_OF[type(one.body)]
            sentence = (
                f"{kind} “{key}” was already registered in {place}; use another key, or correct "
                "the first entry."
            )
            yield one.position, _problem(one.source, str(kind), sentence)


def _problem(entry: Entry, name: str, sentence: str) -> Problem:
    place = f"record.jsonl, line {entry.line}" if entry.line else f"entry {entry.id}"
    return Problem(place=place, sentence=sentence, line=entry.line, field=name)


def _registered_key(body: Body) -> object | None:
    match body:
        case Area():
            return body.area
        case Instrument():
            return body.instrument
        case Lot():
            return body.lot
        case Mix():
            return body.mix
        case Nonconformity():
            return body.number
    return None


def _faults(entry: Entry, body: Body, known: _Known) -> Iterator[tuple[str, str]]:
    area = getattr(body, "area", None)
    if area is not None and area not in known.edges:
        name = f"{entry.kind}.area"
        yield name, _nowhere(name, area, "is not an area of this job", known.edges)
    yield from _edge_faults(entry, body, known)
    yield from _decision_faults(entry, body, known)
    if isinstance(body, Usage) and body.lot not in known.lots:
        name = f"{entry.kind}.lot"
        yield name, _nowhere(name, body.lot, "is not a registered lot", known.lots)
    if isinstance(body, Annotation) and body.photo not in known.photos:
        name = f"{entry.kind}.photo"
        yield name, f"{name} {body.photo} is no photo of this record; mark one that this job shows."


def _edge_faults(entry: Entry, body: Body, known: _Known) -> Iterator[tuple[str, str]]:
    if not isinstance(body, Measurement | Observation | Photo) or body.edge is None:
        return
    areas = [body.area] if body.area in known.edges else list(known.edges)
    edges = {edge for area in areas if area for edge in known.edges[area]}
    if body.edge not in edges:
        name = f"{entry.kind}.edge"
        yield name, _nowhere(name, body.edge, "is not an edge of the area", edges)


def _decision_faults(entry: Entry, body: Body, known: _Known) -> Iterator[tuple[str, str]]:
    number = getattr(body, "nonconformity", None)
    if number is not None and number not in known.nonconformities:
        name = f"{entry.kind}.nonconformity"
        yield name, _nowhere(name, number, "was never raised", known.nonconformities)
    named: dict[str, Sequence[str]] = {}
    if isinstance(body, Closure):
        named["entries"] = body.entries
    elif isinstance(body, Measurement | Observation | Examination):
        named["replaces"] = body.replaces or ()
    elif isinstance(body, Erasure):
        erased: tuple[ErasedDisclosure, ...] = body.disclosures or ()
        named["disclosures"] = [disclosure.entry for disclosure in erased]
    yield from _id_faults(entry, named, known)


def _id_faults(
    entry: Entry, named: Mapping[str, Sequence[str]], known: _Known
) -> Iterator[tuple[str, str]]:
    for field_name, ids in named.items():
        for identifier in ids:
            if identifier not in known.ids:
                name = f"{entry.kind}.{field_name}"
                yield name, f"{name} names {identifier}, which is no entry of this record."


def _nowhere(name: str, value: object, why: str, known: object) -> str:
    words = sorted(map(str, known)) if isinstance(known, set | dict) else []
    hint = f"known here: {', '.join(words[:12])}" if words else "nothing of that kind is registered"
    return f"{name} “{value}” {why}; {hint}."

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
from qa.record.kinds.papers import Correction, ErasedDisclosure, Erasure, Photo
from qa.record.kinds.parties import Opening
from qa.record.kinds.place import Area
from qa.record.kinds.readings import Examination, Measurement, Observation
from qa.record.kinds.supplies import Instrument, Lot, Mix, Usage
from qa.record.schema import Body


@dataclass(slots=True)
class _Known:
    """What the record has named, gathered over all entries and their corrections."""

    people: set[str] = field(default_factory=set)
    edges: dict[str, set[str]] = field(default_factory=dict)
    lots: set[str] = field(default_factory=set)
    nonconformities: set[int] = field(default_factory=set)
    ids: set[str] = field(default_factory=set)


def reference_problems(entries: Sequence[Entry]) -> Iterator[Problem]:
    """Every reference of the record that leads nowhere, and every key given twice.

    Args:
        entries: the record's entries in order, each readable on its own.
    """
    known = _gather(entries)
    in_force = _bodies_in_force(entries)
    first_place: dict[tuple[type, object], str] = {}
    for entry in entries:
        body = entry.new_body or entry.body
        for name, sentence in _faults(entry, body, known):
            yield _problem(entry, name, sentence)
        registered = _registered_key(in_force[entry.id])
        if registered is None:
            continue
        slot = (type(entry.body), registered)
        if slot in first_place:
            sentence = (
                f"{entry.kind} “{registered}” was already registered in {first_place[slot]}; use "
                "another key, or correct the first entry."
            )
            yield _problem(entry, str(entry.kind), sentence)
        first_place.setdefault(slot, f"line {entry.line}" if entry.line else "an earlier entry")


def _gather(entries: Sequence[Entry]) -> _Known:
    known = _Known()
    for entry in entries:
        known.ids.add(entry.id)
        for body in (entry.body, entry.new_body):
            if isinstance(body, Opening):
                known.people.update(person.person for person in body.crew)
            elif isinstance(body, Area):
                edges = known.edges.setdefault(body.area, set())
                edges.update(edge.edge for edge in body.edges)
            elif isinstance(body, Lot):
                known.lots.add(body.lot)
            elif isinstance(body, Nonconformity):
                known.nonconformities.add(body.number)
    return known


def _bodies_in_force(entries: Sequence[Entry]) -> Mapping[str, Body | None]:
    """The last body of every entry by id; None where it was withdrawn, so that its key is free."""
    bodies: dict[str, Body | None] = {entry.id: entry.body for entry in entries}
    for entry in entries:
        if isinstance(entry.body, Correction):
            bodies[entry.body.corrects] = entry.new_body
    return bodies


def _problem(entry: Entry, name: str, sentence: str) -> Problem:
    place = f"record.jsonl, line {entry.line}" if entry.line else f"entry {entry.id}"
    return Problem(place=place, sentence=sentence, line=entry.line, field=name)


def _registered_key(body: Body | None) -> object | None:
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
    if entry.by not in known.people:
        yield "by", _nowhere("by", entry.by, "is not of the crew", known.people)
    area = getattr(body, "area", None)
    if area is not None and area not in known.edges:
        name = f"{entry.kind}.area"
        yield name, _nowhere(name, area, "is not an area of this job", known.edges)
    yield from _edge_faults(entry, body, known)
    yield from _decision_faults(entry, body, known)
    if isinstance(body, Usage) and body.lot not in known.lots:
        name = f"{entry.kind}.lot"
        yield name, _nowhere(name, body.lot, "is not a registered lot", known.lots)


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

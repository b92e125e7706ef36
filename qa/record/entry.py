"""One entry: the envelope around a body, from JSON and back.

An entry keeps the JSON object that it was read from. The chain is reckoned over that object, so
reading and writing an entry can never change its hash.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Annotated

from qa.record import fields
from qa.record.fields import Fault, Json, shown, visible
from qa.record.kinds.papers import Correction
from qa.record.registry import BODY_READERS, Kind
from qa.record.schema import Body, object_reader


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """A signature made on a phone over `id`, `kind`, `at`, `by` and `body`."""

    key: Annotated[str, fields.text]
    alg: Annotated[str, fields.word_of("ES256|EdDSA", "ES256 or EdDSA")]
    value: Annotated[str, fields.text]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of a record.

    Attributes:
        at: when it was seen or done, as the writer states it.
        body: the typed body; for a correction, `new_body` holds what it puts in place.
        new_body: for a correction that does not withdraw, the typed new body; else None.
        seq, received_at, device, prev, hash: what the ledger added, or None in a folder that has
            not passed through one.
        written: the JSON object as it stands in the record.
        line: its line in `record.jsonl`, from 1, or None.
    """

    id: str
    kind: Kind
    at: datetime
    by: str
    body: Body
    new_body: Body | None = None
    seq: int | None = None
    received_at: datetime | None = None
    device: str | None = None
    prev: str | None = None
    hash: str | None = None
    signature: Signature | None = None
    written: Mapping[str, Json] = field(repr=False)
    line: int | None = field(default=None, compare=False)

    @property
    def is_sealed(self) -> bool:
        """Whether a ledger has taken the entry in."""
        return self.hash is not None


def _utc(value: Json) -> datetime:
    when = fields.moment(value)
    if when.utcoffset() != timedelta(0):
        raise Fault(f"is {shown(value)}; the server's clock is written in UTC, with +00:00")
    return when


_ENVELOPE: Mapping[str, fields.Reader] = {
    "id": fields.uuid,
    "at": fields.moment,
    "by": fields.key,
    "seq": fields.count("entries are numbered from 0", most=2**40),
    "received_at": _utc,
    "device": fields.text,
    "prev": fields.sha256,
    "hash": fields.sha256,
    "signature": object_reader(Signature),
}
_REQUIRED = ("id", "kind", "at", "by", "body")
_LEDGER = frozenset({"seq", "received_at", "prev", "hash"})
_KINDS: Mapping[str, Kind] = {kind.value: kind for kind in Kind}


def read_entry(
    written: Json, *, kinds: Mapping[str, Kind], opened: Json = None, line: int | None = None
) -> Entry:
    """An entry from its JSON object.

    Args:
        written: the object as it stands in the record.
        kinds: kind of every earlier entry by id, by which a correction's new body is read.
        opened: the object with personal digests replaced by the values disclosed for them; by
            default `written` itself.
        line: line in `record.jsonl`.

    Raises:
        Fault: with every field that is refused; the paths begin with the kind's word.
    """
    if type(written) is not dict:
        raise Fault(f"is {shown(written)}; an entry is an object in curly brackets")
    opened = written if opened is None else opened
    parts: list[Fault] = []
    envelope = _read_envelope(opened, parts)
    kind = _read_kind(opened, parts)
    body, new_body = None, None
    if kind is not None and "body" in opened:
        try:
            body = BODY_READERS[kind](opened["body"])
            new_body = _read_new_body(body, kinds)
        except Fault as fault:
            parts.append(fault.under(kind.value))
    if parts or kind is None or body is None:
        raise Fault.joined(parts)
    return Entry(kind=kind, body=body, new_body=new_body, written=written, line=line, **envelope)


def _read_envelope(opened: dict[str, Json], parts: list[Fault]) -> dict[str, Json]:
    """The envelope's typed fields; what is refused is appended to `parts`."""
    taken: dict[str, Json] = {}
    for name, value in opened.items():
        reader = _ENVELOPE.get(name)
        if reader is None:
            if name not in ("kind", "body"):
                known = ", ".join((*_REQUIRED, *_LEDGER, "device", "signature"))
                parts.append(
                    Fault(f"is not a field of an entry; the fields are: {known}", visible(name))
                )
        elif value is not None or name != "device":
            try:
                taken[name] = reader(value)
            except Fault as fault:
                parts.append(fault.under(name))
    parts.extend(Fault("is missing; every entry has one", n) for n in _REQUIRED if n not in opened)
    ledger = _LEDGER & opened.keys()
    if ledger and ledger != _LEDGER:
        missing = ", ".join(sorted(_LEDGER - ledger))
        parts.append(
            Fault(f"is here without {missing}; what a ledger adds stands together", min(ledger))
        )
    return taken


def _read_kind(opened: dict[str, Json], parts: list[Fault]) -> Kind | None:
    word = opened.get("kind")
    kind = _KINDS.get(word) if type(word) is str else None
    if kind is None and "kind" in opened:
        near = difflib.get_close_matches(shown(word), _KINDS, n=1)
        hint = f"did you mean {near[0]}?" if near else f"the kinds are: {', '.join(_KINDS)}"
        parts.append(Fault(f"is {shown(word)}, which is no kind of entry; {hint}", "kind"))
    return kind


def _read_new_body(body: Body, kinds: Mapping[str, Kind]) -> Body | None:
    """What a correction puts in the place of the corrected body."""
    if not isinstance(body, Correction):
        return None
    kind = kinds.get(body.corrects)
    if kind is None:
        raise Fault("names no earlier entry; check the id", ".corrects")
    if kind is Kind.CORRECTION:
        raise Fault("names a correction; name the entry that was corrected first", ".corrects")
    if kind is Kind.JOB and body.body is None:
        raise Fault("would withdraw the job itself; correct its fields instead", ".body")
    if body.body is None:
        return None
    try:
        return BODY_READERS[kind](body.body)
    except Fault as fault:
        raise fault.under(".body") from fault

"""Taking entries in: what a ledger adds to them, as a pure function.

`seal` moves personal values out, adds `seq`, `received_at`, `device` and `prev`, and hashes. The
clock, the salts and the facts of the photo files are arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from qa.record.chain import GENESIS, entry_hash
from qa.record.disclosure import Disclosure, entry_paths, withhold
from qa.record.entry import Entry, read_entry
from qa.record.fields import Json
from qa.record.kinds.papers import Photo
from qa.record.reading import Record
from qa.record.registry import Kind
from qa.record.schema import written as as_json


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoFile:
    """What the ledger notes of an original when it takes it in."""

    sha256: str
    bytes: int
    media_type: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """When an entry reached the ledger, and from which device."""

    received_at: datetime
    device: str | None = None


def seal(
    entries: Iterable[tuple[Entry, Arrival]],
    *,
    photos: Mapping[str, PhotoFile],
    new_salt: Callable[[], str],
) -> Record:
    """A record with a chain from entries without one.

    Args:
        entries: entries as `read_entry` answers them, each with its arrival, in order of arrival.
        photos: facts of every photo file by the name that entries give it.
        new_salt: answers a fresh base64url salt of 16 random bytes at each call.

    Raises:
        KeyError: a photo entry, or a correction of one, whose file is not in `photos`.
    """
    sealed: list[Entry] = []
    disclosures: list[Disclosure] = []
    kinds: dict[str, Kind] = {}
    prev = GENESIS
    for seq, (entry, arrival) in enumerate(entries):
        one, moved = seal_next(
            entry, arrival, seq=seq, prev=prev, kinds=kinds, photos=photos, new_salt=new_salt
        )
        sealed.append(one)
        prev = one.hash or prev
        kinds[entry.id] = entry.kind
        disclosures.extend(moved)
    return Record(entries=tuple(sealed), disclosures=tuple(disclosures))


def seal_next(
    entry: Entry,
    arrival: Arrival,
    *,
    seq: int,
    prev: str,
    kinds: Mapping[str, Kind],
    photos: Mapping[str, PhotoFile],
    new_salt: Callable[[], str],
) -> tuple[Entry, tuple[Disclosure, ...]]:
    """One entry as the next of a chain, and the personal values that were moved out of it.

    Args:
        entry: as `read_entry` answers it.
        arrival: when it came, and from where.
        seq: its place, from 0.
        prev: hash of the entry before it.
        kinds: kind of every earlier entry by id.
        photos: facts of the photo file that it names, by name.
        new_salt: as `seal`.

    Raises:
        KeyError: as `seal`.
    """
    written, moved = _without_personal_values(entry, new_salt)
    written["body"] = _with_photo_fields(written["body"], entry, photos)
    added = _ledger_fields(seq, prev, arrival)
    written |= added
    written["hash"] = entry_hash(written)
    if not moved and not _names_photo(entry):
        return _as_sealed(entry, written, arrival), ()
    opened = {**written, "body": _with_photo_fields(entry.written["body"], entry, photos)}
    return read_entry(written, kinds=kinds, opened=opened, line=seq + 1), moved


def _names_photo(entry: Entry) -> bool:
    return isinstance(entry.body, Photo) or isinstance(entry.new_body, Photo)


def _as_sealed(entry: Entry, written: dict[str, Json], arrival: Arrival) -> Entry:
    """The entry with what the ledger added, where its body stays as it was read."""
    return replace(
        entry,
        seq=written["seq"],
        received_at=arrival.received_at.astimezone(UTC),
        device=arrival.device,
        prev=written["prev"],
        hash=written["hash"],
        written=written,
        line=written["seq"] + 1,
    )


def _without_personal_values(
    entry: Entry, new_salt: Callable[[], str]
) -> tuple[dict[str, Json], tuple[Disclosure, ...]]:
    body, moved = withhold(
        entry.written["body"], entry_paths(entry), entry=entry.id, new_salt=new_salt
    )
    return {**entry.written, "body": body}, moved


def _with_photo_fields(
    body: dict[str, Json], entry: Entry, photos: Mapping[str, PhotoFile]
) -> dict[str, Json]:
    """A photo's body, or a correction's new body of one, with the facts of its file."""
    if isinstance(entry.body, Photo):
        return {**body, **as_json(photos[entry.body.file])}
    if isinstance(entry.new_body, Photo):
        return {**body, "body": {**body["body"], **as_json(photos[entry.new_body.file])}}
    return body


def _ledger_fields(seq: int, prev: str, arrival: Arrival) -> dict[str, Json]:
    fields: dict[str, Json] = {
        "seq": seq,
        "received_at": arrival.received_at.astimezone(UTC).isoformat(),
        "prev": prev,
    }
    if arrival.device is not None:
        fields["device"] = arrival.device
    return fields

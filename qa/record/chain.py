"""The hash chain that ties each entry to all before it.

The hash of an entry is SHA-256 over the canonical JSON of the entry with `seq`, `received_at`,
`device` and `prev`; the first entry's `prev` is 64 zeros. A folder written by hand has no chain;
its head is then reckoned in the same way over the entries as they stand with `seq` and `prev`
added, so that every assessment can name the exact content that it judged.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from qa.record.canonical import digest
from qa.record.entry import Entry
from qa.record.fields import Json

GENESIS = "0" * 64
"""`prev` of the first entry."""


def entry_hash(written: Mapping[str, Json]) -> str:
    """The hash of an entry as it stands in a record, whatever its own `hash` field says."""
    return digest({name: value for name, value in written.items() if name != "hash"})


def head_of(entries: Sequence[Entry]) -> str:
    """The hash of the last entry; for a record without a chain, what it would be.

    Args:
        entries: all entries of the record, in order; an empty record has head `GENESIS`.
    """
    if not entries:
        return GENESIS
    if entries[-1].hash is not None:
        return entries[-1].hash
    return link_hashes(entries)[-1]


def link_hashes(entries: Sequence[Entry]) -> tuple[str, ...]:
    """The hash of every entry; for a record without a chain, what each would be."""
    hashes = []
    prev = GENESIS
    for seq, entry in enumerate(entries):
        prev = entry.hash or digest({**entry.written, "seq": seq, "prev": prev})
        hashes.append(prev)
    return tuple(hashes)


def chain_fault(entry: Entry, *, seq: int, prev: str) -> str | None:
    """Why a sealed entry does not continue the chain, or None where it does.

    Args:
        entry: the entry to check.
        seq: the place that it must hold, from 0.
        prev: the hash of the entry before it.
    """
    if entry.seq != seq:
        return f"seq is {entry.seq} where {seq} must stand; an entry is missing or out of order"
    if entry.prev != prev:
        return (
            f"prev is {entry.prev} but the entry before has the hash {prev}; "
            "an entry was changed, removed or put in between"
        )
    reckoned = entry_hash(entry.written)
    if entry.hash != reckoned:
        return f"hash is {entry.hash} but the entry hashes to {reckoned}; its content was changed"
    return None

"""The list of all entries with their hashes, in the order in which they arrived."""

from __future__ import annotations

from dataclasses import dataclass

from qa.packs.source import PackSource
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.found import NOTHING
from qa.record.chain import link_hashes


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """One entry as the list names it."""

    number: int
    kind: str
    at: str
    received: str
    by: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """What the chapter shows.

    Attributes:
        is_sealed: whether the hashes are a ledger's; otherwise they are reckoned for this file.
        signatures: how many entries carry a signature of a device.
    """

    rows: tuple[EntryRow, ...]
    is_sealed: bool
    signatures: int


def entries(source: PackSource, citing: Citing) -> Entries:
    """All entries of the record, corrections and withdrawn ones too."""
    written = source.job.entries
    return Entries(
        rows=tuple(
            EntryRow(
                number=number,
                kind=entry.kind.replace("_", " "),
                at=citing.time(entry.at),
                received=citing.time(entry.received_at) if entry.received_at else NOTHING,
                by=entry.by,
                sha256=sha256,
            )
            for number, (entry, sha256) in enumerate(
                zip(written, link_hashes(written), strict=True)
            )
        ),
        is_sealed=source.record.is_sealed,
        signatures=sum(entry.signature is not None for entry in written),
    )

"""The list of all entries with their hashes, in the order in which they arrived."""

from __future__ import annotations

from dataclasses import dataclass

from qa.packs.source import PackSource
from qa.packs.warranty.citing import Citing
from qa.record.chain import link_hashes
from qa.record.entry import Entry

_FIGURE_SPACE = "\u2007"
_GAP = "\u2003"
"""An em space: a space that is as wide in every line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """One entry as the list names it.

    Attributes:
        line: number, stated time and time of arrival to the second, kind, person. Times are all
            figures and as long as each other, so that they stand in columns without cells.
    """

    line: str
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
                line=_line(citing, number, entry),
                sha256=sha256,
            )
            for number, (entry, sha256) in enumerate(
                zip(written, link_hashes(written), strict=True)
            )
        ),
        is_sealed=source.record.is_sealed,
        signatures=sum(entry.signature is not None for entry in written),
    )


def _line(citing: Citing, number: int, entry: Entry) -> str:
    place = f"{number}".rjust(4, _FIGURE_SPACE)
    at = citing.exact_time(entry.at)
    received = citing.exact_time(entry.received_at) if entry.received_at else ""
    times = _GAP.join(part for part in (place, at, received) if part)
    return f"{times}{_GAP}{entry.kind.replace('_', ' ')}, {entry.by}"

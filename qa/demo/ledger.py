"""How the demonstration's entries reached a ledger: each phone in its order, with its gaps.

A real ledger draws salts at random and reads its own clock. Here both come from the script, so that
the same script gives the same bytes; nothing in it is anybody's secret.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from hashlib import sha256

from qa.demo.calendar import DEVICES, MAIN_DAY, NELL, moment
from qa.demo.diary import Written
from qa.record.disclosure import SALT_BYTES
from qa.record.entry import Entry, read_entry
from qa.record.reading import Record
from qa.record.registry import Kind
from qa.record.schema import written as as_json
from qa.record.sealing import Arrival, PhotoFile, seal

_NO_SIGNAL = (moment(MAIN_DAY, "12:34"), moment(MAIN_DAY, "14:36"))
"""Nell works behind the house, where her phone finds no network."""
_BETWEEN = timedelta(seconds=1.35)


def take_in(entries: Sequence[Written], photos: Mapping[str, PhotoFile]) -> Record:
    """The sealed record of scripted entries, in order of arrival.

    Args:
        entries: as they were written.
        photos: facts of every photo file by the name that entries give it.
    """
    arrivals = sorted(_arrivals(entries), key=lambda pair: pair[1].received_at)
    read = _read([entry for entry, _ in arrivals])
    return seal(
        zip(read, (arrival for _, arrival in arrivals), strict=True),
        photos=photos,
        new_salt=_salts(),
    )


def _arrivals(entries: Sequence[Written]) -> Iterator[tuple[Written, Arrival]]:
    """Each entry with its arrival; a device sends one after another, in the order of the work."""
    last: dict[str, datetime] = {}
    for entry in sorted(entries, key=lambda e: e.at):
        device = DEVICES[entry.by]
        if entry.arrives_at is None:
            received_at = entry.at + _delay(entry)
            queue = device
        else:
            received_at = entry.arrives_at
            queue = f"held back on {device}"
        if queue in last:
            received_at = max(received_at, last[queue] + _BETWEEN)
        last[queue] = received_at
        yield entry, Arrival(received_at=received_at, device=device)


def _delay(entry: Written) -> timedelta:
    """Half a minute to three and a half; where there is no signal, until there is again."""
    lost, found = _NO_SIGNAL
    if entry.by == NELL and lost <= entry.at < found:
        return found - entry.at
    chance = int.from_bytes(sha256(entry.id.encode()).digest()[:4])
    return timedelta(milliseconds=30_000 + chance % 180_000)


def _read(entries: Sequence[Written]) -> list[Entry]:
    kinds: dict[str, Kind] = {}
    read = []
    for entry in entries:
        envelope = {
            "id": entry.id,
            "kind": entry.kind.value,
            "at": entry.at.isoformat(),
            "by": entry.by,
            "body": as_json(entry.body),
        }
        read.append(read_entry(envelope, kinds=kinds))
        kinds[entry.id] = entry.kind
    return read


def _salts() -> Callable[[], str]:
    drawn = 0

    def new_salt() -> str:
        nonlocal drawn
        drawn += 1
        salt = sha256(f"demonstration salt {drawn}".encode()).digest()[:SALT_BYTES]
        return base64.urlsafe_b64encode(salt).decode().rstrip("=")

    return new_salt

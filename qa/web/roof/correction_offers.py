"""What the fields of a correction may name: areas, batches, instruments, bays, evidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from qa.assess.frame import frame_of
from qa.record.entry import Entry
from qa.record.registry import Kind
from qa.record.schema import Body
from qa.services.reading import ReadJob
from qa.web.form_fields import Option
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import begun, person_text

MOST_OFFERED = 40
"""Entries that are offered as evidence, the newest first."""
_IS_EVIDENCE = frozenset({Kind.MEASUREMENT, Kind.OBSERVATION, Kind.EXAMINATION, Kind.PHOTO})


def offered(read: ReadJob, entry: Entry, body: Body) -> Mapping[str, Sequence[Option]]:
    """What fields may name, but for the field by which the entry itself is known.

    Args:
        read: the job.
        entry: the one that is put right.
        body: what is in force of it.
    """
    job, checks = read.job, read.specification.checks.values()
    lots = [
        Option(value=lot.body.lot, label=f"{lot.body.lot}: {lot.body.product}") for lot in job.lots
    ]
    instruments = [
        Option(value=one.body.instrument, label=one.body.name) for one in job.instruments
    ]
    evidence = _evidence(read, entry, body)
    known = {
        "area": [Option(value=area.body.area, label=area.body.name) for area in job.areas],
        "lot": lots,
        "catalyst_lot": lots,
        "instrument": instruments,
        "instruments": instruments,
        "mix": [Option(value=mix.body.mix, label=mix.body.mix) for mix in job.mixes],
        "check": [Option(value=check.key, label=begun(check.quantity)) for check in checks],
        "bays": [Option(value=bay, label=bay) for bay in dict.fromkeys(_bays(read, body))],
        "entries": evidence,
        "replaces": evidence,
    }
    return {name: options for name, options in known.items() if name != entry.kind.value}


def _bays(read: ReadJob, body: Body) -> Iterator[str]:
    """The bays of the area that an entry names, or of every area."""
    named = getattr(body, "area", None)
    for key, area in frame_of(read.job, read.specification).areas.items():
        if named in (None, key):
            yield from area.bays


def _evidence(read: ReadJob, entry: Entry, body: Body) -> list[Option]:
    """What the entry names as evidence, and the newest that it might, each in a line."""
    if not any(hasattr(body, name) for name in ("entries", "replaces")):
        return []
    named = {*(getattr(body, "entries", None) or ()), *(getattr(body, "replaces", None) or ())}
    newest = [one for one in reversed(read.job.entries) if one.id != entry.id]
    others = [one for one in newest if one.kind in _IS_EVIDENCE and one.id not in named]
    shown = [one for one in newest if one.id in named] + others[:MOST_OFFERED]
    telling = telling_of(read)
    return [
        Option(value=one.id, label=telling.line(one), hint=person_text(read.job, one.by))
        for one in shown
    ]

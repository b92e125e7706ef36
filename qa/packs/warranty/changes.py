"""What was changed afterwards: corrections field by field, withdrawals, late entries.

Nothing is ever overwritten: the old value stands beside the new one, whatever came of it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from qa.assess.lateness import TIMELY
from qa.packs.source import PackSource
from qa.packs.warranty.citing import Citing
from qa.record.entry import Entry
from qa.record.fields import Json
from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Correction
from qa.record.schema import Body, written
from qa.trade.conformity import Verdict

ABSENT = "–"
"""Stands for a field that the body does not have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One field with its value before and after."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionStory:
    """One correction of one entry.

    Attributes:
        corrected: kind, time, person and number of the entry that was corrected.
        cited: time, person and number of the correction.
        is_withdrawal: whether it takes the whole entry back; the changes then list what stood
            there.
    """

    number: int
    corrected: str
    cited: str
    reason: str
    is_withdrawal: bool
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LateEntry:
    """An entry that came late: which, when it arrived, and the expert's sentence."""

    cited: str
    received: str
    exact: str


def corrections(source: PackSource, citing: Citing) -> tuple[CorrectionStory, ...]:
    """Every correction, in the order in which they came."""
    stories = (
        _story(citing, recorded, before, correction)
        for recorded in _corrected(source.job)
        for before, correction in _steps(recorded)
    )
    return tuple(sorted(stories, key=lambda story: story.number))


def _corrected(job: Job) -> Iterator[Recorded[Body]]:
    """Every entry that was corrected or withdrawn."""
    for field in dataclasses.fields(job):
        value = getattr(job, field.name)
        for recorded in value if isinstance(value, tuple) else (value,):
            if isinstance(recorded, Recorded) and recorded.corrections:
                yield recorded


def _steps(recorded: Recorded[Body]) -> Iterator[tuple[Body | None, Entry]]:
    """Each correction of an entry with the body that stood before it."""
    before: Body | None = recorded.entry.body
    for correction in recorded.corrections:
        yield before, correction
        before = correction.new_body


def _story(
    citing: Citing, recorded: Recorded[Body], before: Body | None, correction: Entry
) -> CorrectionStory:
    cited = citing.entry(correction.id)
    reason = correction.body.reason if isinstance(correction.body, Correction) else ""
    return CorrectionStory(
        number=cited.number,
        corrected=f"{recorded.entry.kind.replace('_', ' ')}, {citing.recorded(recorded).text}",
        cited=cited.text,
        reason=reason,
        is_withdrawal=correction.new_body is None,
        changes=tuple(changes(before, correction.new_body)),
    )


def changes(before: Body | None, after: Body | None) -> Iterator[Change]:
    """The fields in which two bodies differ, in the order of the format.

    Args:
        before: the body that stood before, or None where the entry had been withdrawn.
        after: the body that stands now, or None where the entry was withdrawn.
    """
    old = _fields(before)
    new = _fields(after)
    for name in dict.fromkeys((*old, *new)):
        if old.get(name) != new.get(name):
            yield Change(field=name, before=old.get(name, ABSENT), after=new.get(name, ABSENT))


def _fields(body: Body | None) -> Mapping[str, str]:
    return {} if body is None else dict(_leaves(written(body), ""))


def _leaves(value: Json, path: str) -> Iterator[tuple[str, str]]:
    """The values of a JSON object by their path; lists of plain values are one value."""
    if isinstance(value, dict) and value.keys() == {"digest"}:
        yield path, f"withheld, digest {value['digest'][:12]}…"
    elif isinstance(value, dict):
        for name, item in value.items():
            yield from _leaves(item, f"{path} {name}".strip())
    elif isinstance(value, list) and any(isinstance(item, dict) for item in value):
        for number, item in enumerate(value, 1):
            yield from _leaves(item, f"{path} {number}")
    else:
        yield path, _plain(value)


def _plain(value: Json) -> str:
    if isinstance(value, list):
        inner = ", ".join(_plain(item) for item in value)
        return f"[{inner}]"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value).replace("-", "−", 1) if isinstance(value, int | float) else str(value)


def late_entries(source: PackSource, citing: Citing) -> tuple[LateEntry, ...]:
    """Every entry that was recorded late, by number."""
    received = {entry.id: entry.received_at for entry in source.job.entries}
    late = [
        found
        for found in source.assessment.findings
        if found.check == TIMELY and found.verdict is Verdict.OUTSIDE
    ]
    late.sort(key=lambda found: citing.entry(found.entries[0]).number)
    return tuple(
        LateEntry(
            cited=citing.entry(found.entries[0]).text,
            received=citing.time(arrived) if (arrived := received[found.entries[0]]) else ABSENT,
            exact=found.exact,
        )
        for found in late
    )

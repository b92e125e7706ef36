"""Recording a mix, and that its bucket is empty."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from qa.errors import NotFoundError, RecordError
from qa.record.fields import Json
from qa.record.job import Job, Recorded
from qa.record.kinds.supplies import Mix
from qa.record.registry import Kind
from qa.record.schema import written
from qa.services.access import Actor
from qa.services.reading import read_job
from qa.services.recording import Draft, Receipt, record

if TYPE_CHECKING:
    from qa.services.installation import Installation

EMPTIED = "Bucket emptied; the time was added."
"""Reason of the correction that completes a mix."""
_NUMBERED = re.compile(r"mix-([1-9][0-9]*)")
_MOST_TRIES = 5
"""Two people may save a mix in the same moment; the number is then drawn again."""


def save_mix(
    installation: Installation, actor: Actor, job_id: str, draft: Draft, *, now: datetime
) -> tuple[Receipt, ...]:
    """Records a mix under the next number of the job; sent twice, under the number it has.

    Args:
        installation: where.
        actor: who mixed.
        job_id: the installation's id of the job.
        draft: the mix, without its key.
        now: the server's clock.

    Raises:
        RecordError: a field cannot be true; the paths begin with "mix.".
        LaidtrueError: as `qa.services.recording.record`.
    """
    for tries in range(1, _MOST_TRIES + 1):
        job = read_job(installation, actor, job_id).job
        key = key_of(job, draft.id) or next_key(job)
        keyed = _with_body(draft, {"mix": key, **draft.body})
        try:
            return record(installation, actor, job_id, [keyed], now=now)
        except RecordError as error:
            if tries == _MOST_TRIES or all(p.field != "mix.mix" for p in error.problems):
                raise
    raise AssertionError("the last try answers or raises")


def empty_bucket(
    installation: Installation,
    actor: Actor,
    job_id: str,
    mix: str,
    *,
    correction_id: str,
    at: datetime,
    now: datetime,
) -> tuple[Receipt, ...]:
    """Completes a mix with the time at which its bucket was empty, once.

    Args:
        installation: where.
        actor: who says so.
        job_id: the installation's id of the job.
        mix: the mix's key.
        correction_id: id of the entry to be.
        at: when the bucket was empty.
        now: the server's clock.

    Returns:
        The receipt, or nothing where the time stands already.

    Raises:
        NotFoundError: the job has no such mix.
    """
    found = find_mix(read_job(installation, actor, job_id).job, mix)
    if found.body.emptied_at is not None:
        return ()
    emptied = max(at, found.at)
    body = {**as_body(found), "emptied_at": emptied.isoformat()}
    draft = Draft(
        id=correction_id,
        kind=Kind.CORRECTION,
        at=at,
        body={"corrects": found.id, "reason": EMPTIED, "body": body},
        at_is_reckoned=True,
    )
    return record(installation, actor, job_id, [draft], now=now)


def find_mix(job: Job, key: str) -> Recorded[Mix]:
    """The mix of that key.

    Raises:
        NotFoundError: the job has none.
    """
    for mix in job.mixes:
        if mix.body.mix == key:
            return mix
    raise NotFoundError(f"This job has no mix “{key}”. Look for it in the job's record.")


def as_body(mix: Recorded[Mix]) -> dict[str, Json]:
    """The body in force as JSON."""
    body: dict[str, Json] = written(mix.body)
    return body


def key_of(job: Job, identifier: str) -> str | None:
    """The key of the mix that an entry recorded, withdrawn ones too, or None."""
    for entry in job.entries:
        if entry.id == identifier and isinstance(entry.body, Mix):
            return entry.body.mix
    return None


def next_key(job: Job) -> str:
    """The next free key: "mix-5" after "mix-4"."""
    keys = [mix.body.mix for mix in job.mixes]
    keys += [gone.body.mix for gone in job.withdrawn if isinstance(gone.body, Mix)]
    numbers = [int(match[1]) for key in keys if (match := _NUMBERED.fullmatch(key))]
    return f"mix-{max(numbers, default=0) + 1}"


def _with_body(draft: Draft, body: Mapping[str, Json]) -> Draft:
    return Draft(
        id=draft.id,
        kind=draft.kind,
        at=draft.at,
        body=body,
        original=draft.original,
        at_is_reckoned=draft.at_is_reckoned,
    )

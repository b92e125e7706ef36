"""Erasing personal values and photos: the entry that says so, and the erasing itself, at once.

The chain still holds afterwards, since it covers digests only. With a value goes whatever this
installation made of it: the PDFs of packs that show an earlier state (their number, digest and
edition stay, so that a copy in somebody's hands can still be told), the recipients of links, and
what people wrote by links as far as it says the value letter by letter. Notes of the record that
quote it stay, since the chain covers their words.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from qa.errors import NotFoundError
from qa.record.registry import Kind
from qa.record.sealing import Arrival
from qa.services.access import Act, Actor, require
from qa.services.appending import Appending, appending
from qa.services.originals import erase_original
from qa.services.pack_making import FORGET_PAPER
from qa.services.recording import Draft, take
from qa.services.waking import wake
from qa.store import ledger, links
from qa.store.erased_packs import erased_papers
from qa.store.originals import is_shown
from qa.store.outbox import enqueue

if TYPE_CHECKING:
    from qa.services.installation import Installation


def erase(
    installation: Installation,
    actor: Actor,
    job_id: str,
    *,
    disclosures: Sequence[tuple[str, str]],
    photos: Sequence[str],
    reason: str,
    entry_id: str,
    now: datetime,
) -> None:
    """Erases personal values by entry and field, and originals by digest, and records that.

    Copies in backups and PDFs that were handed out are beyond reach; the page says so.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        NotFoundError: the firm has no such job, or the job no such value or photo.
        RecordError: with every fault of the entry.
    """
    require(actor, Act.ERASE)
    with appending(installation, firm_id=actor.firm_id, job_id=job_id) as job:
        if job.open_job.growing.find(entry_id) is not None:
            return
        _require_there(job, disclosures, photos)
        ground = job.open_job.growing.ground
        body = {
            "reason": reason,
            "disclosures": [{"entry": entry, "field": field} for entry, field in disclosures],
            "photos": list(photos),
        }
        draft = Draft(
            id=entry_id,
            kind=Kind.ERASURE,
            at=now.astimezone(ground.time_zone if ground else UTC),
            body=body,
        )
        sealed, _ = take(installation, actor, job, draft, Arrival(received_at=now))
        job.sum_up((sealed,), (), received_at=now)
        values = [job.open_job.growing.disclosures[one].value for one in disclosures]
        names = [value for value in values if isinstance(value, str)]
        links.erase_words(job.database, job_id=job_id, words=names)
        for sha256 in erased_papers(job.database, job_id=job_id):
            enqueue(job.database, FORGET_PAPER, sha256, now)
        ledger.erase_disclosures(job.database, job_id=job_id, erased=disclosures)
        for sha256 in photos:
            if not is_shown(job.database, sha256, firm_id=actor.firm_id):
                erase_original(job.database, sha256, firm_id=actor.firm_id, now=now)
    installation.open_jobs.forget(job_id)
    wake(installation)


def _require_there(
    job: Appending, disclosures: Sequence[tuple[str, str]], photos: Sequence[str]
) -> None:
    growing = job.open_job.growing
    shown = {getattr(entry.new_body or entry.body, "sha256", None) for entry in growing.entries}
    if not set(disclosures) <= growing.disclosures.keys() or not set(photos) <= shown:
        raise NotFoundError(
            "What is to be erased is not there, or was erased before. Nothing was changed."
        )

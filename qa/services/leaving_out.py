"""Photographs that wait and get no place: left out by somebody, or dropped after a while.

Their files go too, where no job shows them, nobody waits for them and no message came with them.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from typing import TYPE_CHECKING

from qa.services.access import Act, Actor, require
from qa.services.originals import erase_original
from qa.services.reading import read_job
from qa.services.waiting_photos import waiting_in
from qa.services.waking import wake
from qa.store import waiting_photos as rows
from qa.store.originals import find_original, is_shown
from qa.store.waiting_photos import EXPIRED, LEFT_OUT

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation


def leave_out(
    installation: Installation,
    actor: Actor,
    job_id: str,
    waiting: Collection[str],
    *,
    now: datetime,
) -> int:
    """Drops photographs that wait, and their files where nothing else needs them; how many."""
    require(actor, Act.RECORD_WORK)
    read = read_job(installation, actor, job_id)
    found = waiting_in(installation, actor, read, now=now).photos
    out = {one.id: one.sha256 for one in found if one.id in waiting}
    with installation.store.writing() as session:
        rows.end_waiting(session, list(out), job_id=job_id, ended=LEFT_OUT, now=now)
        for sha256 in out.values():
            _let_go(session, sha256, firm_id=actor.firm_id, now=now)
    wake(installation)
    return len(out)


def drop_expired(installation: Installation, *, now: datetime) -> int:
    """Drops what nobody has placed in time, in every firm; answers how many."""
    with installation.store.writing() as session:
        due = rows.due_to_expire(session, now)
        for waiting, firm_id, job_id, sha256 in due:
            rows.end_waiting(session, [waiting], job_id=job_id, ended=EXPIRED, now=now)
            _let_go(session, sha256, firm_id=firm_id, now=now)
    return len(due)


def _let_go(session: Session, sha256: str, *, firm_id: str, now: datetime) -> None:
    """Erases an original that no job shows, nobody waits for and no message came with."""
    if find_original(session, sha256, firm_id=firm_id) is None:
        return
    if is_shown(session, sha256, firm_id=firm_id) or rows.is_wanted(
        session, sha256, firm_id=firm_id
    ):
        return
    erase_original(session, sha256, firm_id=firm_id, now=now)

"""The background's work: one task of the outbox at a time, its effect and its end kept together.

A task does its slow part first and answers an effect: what it changes in the database. The effect
and the task's end are one transaction, and only the last lease of the task may make it, so each
task takes effect once whatever stops in between. Files that a task makes are named by what they
hold; made twice, they are made once.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from sqlalchemy.orm import Session

from qa.errors import ConflictError, LaidtrueError, StoreError
from qa.services.installation import Installation
from qa.services.leaving_out import drop_expired
from qa.services.mail_tasks import MAIL
from qa.services.mailing import deliver_mail
from qa.services.originals import FORGET, RENDITIONS
from qa.services.pack_making import (
    FORGET_PAPER,
    PACK,
    forget_paper,
    give_up_pack,
    make_pack_of_job,
)
from qa.services.photo_work import forget_original, make_renditions
from qa.services.trial_runs import TRIAL, give_up_trial, try_next_jobs
from qa.services.uploading import sweep_uploads
from qa.services.webhook_delivery import deliver_event, give_up_webhook
from qa.store import deliveries, outbox
from qa.store.outbox import Lease, enqueue
from qa.store.webhooks import HOOK

__all__ = ["enqueue", "tidy", "work_all", "work_once"]

_LOG = logging.getLogger(__name__)

Effect = Callable[[Session], None]
"""What a task changes in the database, in the transaction that ends it."""


def _say_nothing(session: Session, subject: str, fault: str) -> None:
    """For tasks that nobody waits for: their row tells the fault."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """How a kind of task is done.

    Attributes:
        do: the slow part; takes installation, subject and time.
        give_up: says where people look that it cannot be done; takes session, subject and fault.
    """

    do: Callable[[Installation, str, datetime], Effect]
    give_up: Callable[[Session, str, str], None] = _say_nothing


WORK: Mapping[str, Work] = MappingProxyType(
    {
        RENDITIONS: Work(do=make_renditions),
        FORGET: Work(do=forget_original),
        FORGET_PAPER: Work(do=forget_paper),
        MAIL: Work(do=deliver_mail),
        HOOK: Work(do=deliver_event, give_up=give_up_webhook),
        PACK: Work(do=make_pack_of_job, give_up=give_up_pack),
        TRIAL: Work(do=try_next_jobs, give_up=give_up_trial),
    }
)
"""Every kind of task."""


def work_once(installation: Installation, *, now: datetime) -> bool:
    """Does the task that has been due for longest; answers whether there was one.

    Whatever a task raises is written to its row, and it is tried again later.
    """
    with installation.store.reading() as session:
        if not outbox.due(session, now):
            return False
    with installation.store.writing() as session:
        lease = outbox.take(session, now)
    if lease is None:
        return False
    try:
        _deliver(installation, lease, now)
    except ConflictError as error:
        _LOG.warning("%s", error)
    return True


def work_all(installation: Installation, *, now: datetime) -> int:
    """Does every task that is due; answers how many."""
    done = 0
    while work_once(installation, now=now):
        done += 1
    return done


def tidy(installation: Installation, *, now: datetime) -> None:
    """Removes what has lain too long: uploads never finished, photos never placed, done tasks."""
    sweep_uploads(installation, now=now)
    drop_expired(installation, now=now)
    with installation.store.writing() as session:
        outbox.forget_done(session, now)
        deliveries.tidy_deliveries(session, now)


def _deliver(installation: Installation, lease: Lease, now: datetime) -> None:
    if lease.given_up:
        _give_up(installation, lease, now, outbox.WORKER_STOPPED)
        return
    try:
        effect = _work(lease).do(installation, lease.subject, now)
        with installation.store.writing() as session:
            outbox.finish(session, lease, now)
            effect(session)
    except ConflictError:
        raise
    except Exception as error:  # noqa: BLE001 - the outermost edge of the background
        _LOG.warning("Task %s (%s) failed.", lease.id, lease.task, exc_info=True)
        _after_fault(installation, lease, now, _words(error))


def _work(lease: Lease) -> Work:
    if lease.task not in WORK:
        raise StoreError(f"No program knows the task {lease.task}; install the one that wrote it.")
    return WORK[lease.task]


def _after_fault(installation: Installation, lease: Lease, now: datetime, fault: str) -> None:
    if lease.attempt >= outbox.MOST_ATTEMPTS:
        _give_up(installation, lease, now, fault)
        return
    with installation.store.writing() as session:
        outbox.put_off(session, lease, now, fault)


def _give_up(installation: Installation, lease: Lease, now: datetime, fault: str) -> None:
    with installation.store.writing() as session:
        outbox.give_up(session, lease, now, fault)
        if lease.task in WORK:
            WORK[lease.task].give_up(session, lease.subject, fault)


def _words(error: Exception) -> str:
    if isinstance(error, LaidtrueError):
        return str(error)
    return f"The program failed: {type(error).__name__}: {error}"

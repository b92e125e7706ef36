"""Sending what webhooks wait for: one at a time, in order, until the receiver has it.

Each webhook has one task in the outbox at most. What it sends is what waits longest; while that
does not arrive, nothing later is sent, so that a receiver sees events in their order and one that
is away costs one attempt at a time. Each attempt that fails makes the pause longer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.services.vault import unseal
from qa.services.webhook_addresses import parse_address
from qa.services.webhook_posting import Post, ReceiverError, send_post
from qa.store import deliveries, webhooks
from qa.store.deliveries import DELIVERED, WAITING, Delivery
from qa.store.webhooks import ON, PAUSED, Webhook, hold_webhook, plan

if TYPE_CHECKING:
    from qa.services.installation import Installation
    from qa.store.tables import WebhookRow

Effect = Callable[[Session], None]
SEALED = "webhook secrets"
"""Purpose under which secrets are sealed, each for its webhook."""
FIRST_DELAY = timedelta(minutes=1)
LONGEST_DELAY = timedelta(hours=6)
GIVEN_UP_AFTER = timedelta(days=5)
GONE = 410
"""HTTP status of a receiver that is there no more (RFC 9110 15.5.11)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """How an attempt went: the receiver's status, or why there was none."""

    status: int | None = None
    fault: str = ""

    @property
    def has_arrived(self) -> bool:
        """Whether the receiver has taken it."""
        return self.status is not None and 200 <= self.status < 300


def deliver_event(installation: Installation, subject: str, now: datetime) -> Effect:
    """Sends what a webhook waits for longest; the background's work."""
    webhook_id, _, ticket = subject.partition(" ")
    with installation.store.reading() as session:
        webhook = webhooks.find_webhook(session, webhook_id, firm_id=None)
        head = deliveries.first_waiting(session, webhook_id)
    if webhook is None or str(webhook.ticket) != ticket:
        return _nothing
    if webhook.state != ON or head is None:
        return lambda session: _rest(session, webhook, now)
    attempt = _attempt(installation, webhook, head, now)
    return lambda session: _note(session, webhook, head, attempt, now)


def give_up_webhook(session: Session, subject: str, fault: str) -> None:
    """Pauses a webhook whose task cannot be done, and says why on its page."""
    row = hold_webhook(session, subject.partition(" ")[0])
    if row is not None:
        row.state, row.because, row.next_at = PAUSED, fault, None


def delay_after(failures: int) -> timedelta:
    """How long nothing is sent after so many attempts in a row that failed."""
    doublings = min(failures - 1, 10)
    return min(FIRST_DELAY * (1 << doublings), LONGEST_DELAY)


def _attempt(
    installation: Installation, webhook: Webhook, delivery: Delivery, now: datetime
) -> Attempt:
    address = parse_address(webhook.address)
    if address is None:
        return Attempt(fault="Its address cannot be read.")
    post = Post(
        id=delivery.id,
        number=delivery.number,
        event=delivery.event,
        body=delivery.body.encode(),
        sent_at=now,
        secrets=_secrets(installation, webhook, now),
    )
    try:
        status = send_post(address, post, allowed=installation.settings.webhook_networks)
    except ReceiverError as error:
        return Attempt(fault=str(error))
    return Attempt(status=status, fault=_fault(status))


def _fault(status: int) -> str:
    if 200 <= status < 300:
        return ""
    if 300 <= status < 400:
        return f"It answered {status} and points elsewhere. Nothing is followed."
    return f"It answered {status}."


def _secrets(installation: Installation, webhook: Webhook, now: datetime) -> tuple[str, ...]:
    """Those that sign: the one in force, and the one before for a while."""
    sealed = [webhook.secret]
    if webhook.former_until is not None and now < webhook.former_until:
        sealed.append(webhook.former_secret)
    return tuple(
        unseal(installation.seal_key, one, purpose=SEALED, whose=webhook.id).decode()
        for one in sealed
        if one is not None
    )


def _note(
    session: Session, webhook: Webhook, delivery: Delivery, attempt: Attempt, now: datetime
) -> None:
    """Keeps how an attempt went, and plans the next."""
    row = hold_webhook(session, webhook.id)
    state = DELIVERED if attempt.has_arrived else WAITING
    deliveries.note_attempt(
        session, delivery.id, state=state, status=attempt.status, fault=attempt.fault, now=now
    )
    if row is None or row.ticket != webhook.ticket:
        return
    row.failures = 0 if attempt.has_arrived else row.failures + 1
    if attempt.status == GONE:
        row.state = PAUSED
        row.because = "The receiver answered 410: it is there no more."
    elif not attempt.has_arrived:
        fault = f"Given up after {GIVEN_UP_AFTER.days} days. {attempt.fault}"
        before = now - GIVEN_UP_AFTER
        deliveries.give_up_waiting(session, row.id, before=before, fault=fault, now=now)
    _plan_next(session, row, now)


def _rest(session: Session, webhook: Webhook, now: datetime) -> None:
    """Ends the task of a webhook that has nothing to send, unless something came meanwhile."""
    row = hold_webhook(session, webhook.id)
    if row is not None and row.ticket == webhook.ticket:
        _plan_next(session, row, now)


def _plan_next(session: Session, row: WebhookRow, now: datetime) -> None:
    row.next_at = None
    session.flush()
    if row.state == ON and deliveries.first_waiting(session, row.id) is not None:
        plan(session, row.id, now + delay_after(row.failures) if row.failures else now)


def _nothing(session: Session) -> None:
    """Another task sends what waits, or the webhook has ended."""

"""Webhooks in the database, and the one task of the outbox that each of them has at most.

Whoever changes what a webhook has to send holds its row, so that two transactions never both leave
the task to the other.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from qa.store.columns import value_of
from qa.store.outbox import enqueue
from qa.store.store import Database
from qa.store.tables import WebhookRow

HOOK = "webhook"
"""Task: send what waits longest of a webhook; its subject is "webhook ticket"."""
ON, PAUSED, ENDED = "on", "paused", "ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class Webhook:
    """A webhook as the database holds it; see `WebhookRow`."""

    id: str
    firm_id: str
    address: str
    events: tuple[str, ...]
    secret: bytes | None = field(repr=False)
    former_secret: bytes | None = field(repr=False)
    former_until: datetime | None
    created_at: datetime
    state: str
    because: str
    failures: int
    ticket: int
    next_at: datetime | None


def add_webhook(
    session: Session,
    *,
    id_: str,
    firm_id: str,
    address: str,
    events: tuple[str, ...],
    secret: bytes,
    made_by: str,
    now: datetime,
) -> None:
    """Adds one; `secret` is sealed."""
    session.add(
        WebhookRow(
            id=id_, firm_id=firm_id, address=address, events=" ".join(events), secret=secret,
            made_by=made_by, created_at=now, state=ON, because="",
            number=0, failures=0, ticket=0, next_at=None,
        )
    )  # fmt: skip
    session.flush()


def webhooks_of(session: Session, firm_id: str) -> tuple[Webhook, ...]:
    """A firm's webhooks that have not ended, the newest first."""
    rows = session.scalars(
        select(WebhookRow)
        .where(WebhookRow.firm_id == firm_id, WebhookRow.state != ENDED)
        .order_by(WebhookRow.created_at.desc(), WebhookRow.id.desc())
    )
    return tuple(map(_webhook, rows))


def find_webhook(session: Session, webhook_id: str, *, firm_id: str | None) -> Webhook | None:
    """One that has not ended; None where the firm has none of that id.

    Args:
        session: of the store.
        webhook_id: which.
        firm_id: whose; None for whoever's, for the installation's own work in the background.
    """
    row = session.scalar(
        select(WebhookRow).where(WebhookRow.id == webhook_id, WebhookRow.state != ENDED)
    )
    return None if row is None or firm_id not in (None, row.firm_id) else _webhook(row)


def hold_webhook(session: Session, webhook_id: str) -> WebhookRow | None:
    """The row, held until the transaction ends, as it is by then; None once it has ended."""
    return session.scalar(
        select(WebhookRow)
        .where(WebhookRow.id == webhook_id, WebhookRow.state != ENDED)
        .with_for_update()
        .execution_options(populate_existing=True)
    )


def plan(database: Database, webhook_id: str, due_at: datetime) -> None:
    """Puts a webhook's next task into the outbox; one that is there already does nothing then."""
    row = WebhookRow
    ticket = database.execute(
        update(row)
        .where(row.id == webhook_id)
        .values(ticket=row.ticket + 1, next_at=due_at)
        .returning(row.ticket)
    ).scalar_one()
    enqueue(database, HOOK, f"{webhook_id} {ticket}", due_at)


def _webhook(row: WebhookRow) -> Webhook:
    return value_of(Webhook, row, events=tuple(row.events.split()))

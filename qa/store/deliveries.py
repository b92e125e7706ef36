"""What is sent to webhooks: written with what it tells, sent in order, kept for a while after."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import bindparam, delete, insert, select, update
from sqlalchemy.orm import Session

from qa.store.columns import value_of
from qa.store.prepared import Prepared
from qa.store.store import Database
from qa.store.tables import DeliveryRow, WebhookRow
from qa.store.webhooks import ENDED, ON, plan

WAITING, DELIVERED, GIVEN_UP = "waiting", "delivered", "given_up"
KEPT = timedelta(days=30)
"""How long a delivery stays after it was delivered or given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """A delivery as the database holds it; see `DeliveryRow`."""

    id: str
    webhook_id: str
    number: int
    event: str
    body: str
    written_at: datetime
    attempts: int
    state: str
    status: int | None
    fault: str
    settled_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToWrite:
    """A delivery that is about to be written.

    Attributes:
        body: answers the body, from the number that the delivery gets.
    """

    id: str
    event: str
    body: Callable[[int], str]


_OPEN = Prepared(
    select(WebhookRow.id, WebhookRow.events)
    .where(WebhookRow.firm_id == bindparam("firm_id"), WebhookRow.state != bindparam("ended"))
    .order_by(WebhookRow.id)
)


def listening(database: Database, firm_id: str) -> tuple[tuple[str, frozenset[str]], ...]:
    """The firm's webhooks in a fixed order, each with the events that it is told of."""
    found = _OPEN.all(database, {"firm_id": firm_id, "ended": ENDED})
    return tuple((id_, frozenset(events.split())) for id_, events in found)


def write_deliveries(
    database: Database, webhook_id: str, new: Sequence[ToWrite], now: datetime
) -> None:
    """Writes deliveries into the caller's transaction, and has them sent."""
    row = WebhookRow
    last, state, next_at = database.execute(
        update(row)
        .where(row.id == webhook_id)
        .values(number=row.number + len(new))
        .returning(row.number, row.state, row.next_at)
    ).one()
    numbered = list(enumerate(new, start=last - len(new) + 1))
    database.execute(
        insert(DeliveryRow),
        [
            {
                "id": one.id, "webhook_id": webhook_id, "number": number, "event": one.event,
                "body": one.body(number), "written_at": now, "waits_since": now, "attempts": 0,
                "state": WAITING, "fault": "",
            }
            for number, one in numbered
        ],
    )  # fmt: skip
    if state == ON and next_at is None:
        plan(database, webhook_id, now)


def first_waiting(session: Session, webhook_id: str) -> Delivery | None:
    """What is to be sent next, or None."""
    row = session.scalars(
        select(DeliveryRow)
        .where(DeliveryRow.webhook_id == webhook_id, DeliveryRow.state == WAITING)
        .order_by(DeliveryRow.number)
        .limit(1)
    ).first()
    return None if row is None else _delivery(row)


def last_deliveries(session: Session, webhook_id: str, *, most: int) -> tuple[Delivery, ...]:
    """The last of a webhook's deliveries, the newest first."""
    rows = session.scalars(
        select(DeliveryRow)
        .where(DeliveryRow.webhook_id == webhook_id)
        .order_by(DeliveryRow.number.desc())
        .limit(most)
    )
    return tuple(map(_delivery, rows))


def find_delivery(session: Session, webhook_id: str, delivery_id: str) -> Delivery | None:
    """One of a webhook's deliveries, or None."""
    row = session.get(DeliveryRow, delivery_id)
    return None if row is None or row.webhook_id != webhook_id else _delivery(row)


def note_attempt(
    session: Session, delivery_id: str, *, state: str, status: int | None, fault: str, now: datetime
) -> None:
    """Notes how an attempt went; what somebody settled meanwhile stays settled."""
    row = DeliveryRow
    session.execute(
        update(row)
        .where(row.id == delivery_id, row.state == WAITING)
        .values(
            attempts=row.attempts + 1, state=state, status=status, fault=fault,
            settled_at=None if state == WAITING else now,
        )
    )  # fmt: skip


def give_up_waiting(
    session: Session, webhook_id: str, *, before: datetime | None, fault: str, now: datetime
) -> None:
    """Gives up what has waited since before a time, or all that waits."""
    row = DeliveryRow
    late = [row.waits_since < before] if before is not None else []
    session.execute(
        update(row)
        .where(row.webhook_id == webhook_id, row.state == WAITING, *late)
        .values(state=GIVEN_UP, fault=fault, settled_at=now)
    )


def wait_again(session: Session, webhook_id: str, delivery_id: str, now: datetime) -> bool:
    """Has a delivery wait as if it were new; False where the webhook has none of that id."""
    row = DeliveryRow
    found = session.execute(
        update(row)
        .where(row.id == delivery_id, row.webhook_id == webhook_id)
        .values(state=WAITING, waits_since=now, settled_at=None)
        .returning(row.id)
    )
    return found.first() is not None


def tidy_deliveries(session: Session, now: datetime) -> None:
    """Removes what was settled long ago, and gives up what has waited as long while paused."""
    row, long_ago = DeliveryRow, now - KEPT
    session.execute(delete(row).where(row.settled_at < long_ago))
    session.execute(
        update(row)
        .where(row.state == WAITING, row.waits_since < long_ago)
        .values(state=GIVEN_UP, fault="It waited for 30 days.", settled_at=now)
    )


def _delivery(row: DeliveryRow) -> Delivery:
    return value_of(Delivery, row)

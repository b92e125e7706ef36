"""Addresses of other programs that a firm's events are sent to, and what was sent there."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class WebhookRow(Base):
    """An address that is told of a firm's events, in their order.

    Attributes:
        events: words of `qa.services.webhook_events.Event`, joined by a blank.
        secret: signs what is sent; sealed by the installation's key, None once it has ended.
        former_secret: the one before, which signs too until `former_until`.
        state: "on", "paused" or "ended".
        because: why the program itself has paused it, or nothing.
        number: of the last delivery; deliveries of a webhook are numbered without a gap.
        failures: attempts in a row that have failed.
        ticket: counts the tasks of the outbox; a task with an older ticket does nothing.
        next_at: when the task in the outbox is due; None where none is there.
    """

    __tablename__ = "webhook"
    __table_args__ = (Index("ix_webhook_firm_id_state", "firm_id", "state"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    address: Mapped[str]
    events: Mapped[str]
    secret: Mapped[bytes | None] = mapped_column(LargeBinary)
    former_secret: Mapped[bytes | None] = mapped_column(LargeBinary)
    former_until: Mapped[datetime | None]
    made_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    created_at: Mapped[datetime]
    state: Mapped[str] = mapped_column(String(8))
    because: Mapped[str]
    number: Mapped[int]
    failures: Mapped[int]
    ticket: Mapped[int]
    next_at: Mapped[datetime | None]


class DeliveryRow(Base):
    """One event for one webhook, as it is sent: the same bytes at every attempt.

    Attributes:
        id: by which the receiver knows it again.
        number: its place among those of the webhook, from 1.
        body: JSON; ids, kinds, times and digests, nothing personal.
        waits_since: when it was written, or last asked for again.
        state: "waiting", "delivered" or "given_up".
        status: the receiver's last answer; None where there was none.
        fault: why the last attempt failed, or nothing.
        settled_at: when it was delivered or given up.
    """

    __tablename__ = "webhook_delivery"
    __table_args__ = (
        UniqueConstraint("webhook_id", "number"),
        Index("ix_webhook_delivery_webhook_id_state_number", "webhook_id", "state", "number"),
    )

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    webhook_id: Mapped[str] = mapped_column(ForeignKey("webhook.id"))
    number: Mapped[int]
    event: Mapped[str] = mapped_column(String(20))
    body: Mapped[str] = mapped_column(Text)
    written_at: Mapped[datetime]
    waits_since: Mapped[datetime]
    attempts: Mapped[int]
    state: Mapped[str] = mapped_column(String(9))
    status: Mapped[int | None]
    fault: Mapped[str]
    settled_at: Mapped[datetime | None]

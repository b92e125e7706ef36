"""Looking at a firm's webhooks: which there are, and what was sent to each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.errors import NotFoundError
from qa.services.access import Act, Actor, require
from qa.store import deliveries, webhooks
from qa.store.deliveries import Delivery
from qa.store.webhooks import Webhook

if TYPE_CHECKING:
    from qa.services.installation import Installation

SHOWN = 50
"""Deliveries on the page of a webhook."""
NO_DELIVERY = "This delivery is not there any more; they are kept for 30 days."
NO_WEBHOOK = "This webhook has ended, or is not there. The list shows those that are."


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldWebhook:
    """A webhook with what was sent to it last, the newest first."""

    webhook: Webhook
    deliveries: tuple[Delivery, ...]


def webhooks_of(installation: Installation, actor: Actor) -> tuple[Webhook, ...]:
    """The firm's webhooks, the newest first."""
    require(actor, Act.SEND_EVENTS)
    with installation.store.reading() as session:
        return webhooks.webhooks_of(session, actor.firm_id)


def webhook_of(installation: Installation, actor: Actor, webhook_id: str) -> ToldWebhook:
    """One of them.

    Raises:
        NotFoundError: the firm has none of that id, or it has ended.
    """
    require(actor, Act.SEND_EVENTS)
    with installation.store.reading() as session:
        held = webhooks.find_webhook(session, webhook_id, firm_id=actor.firm_id)
        if held is None:
            raise NotFoundError(NO_WEBHOOK)
        last = deliveries.last_deliveries(session, webhook_id, most=SHOWN)
    return ToldWebhook(webhook=held, deliveries=last)


def delivery_of(
    installation: Installation, actor: Actor, webhook_id: str, delivery_id: str
) -> tuple[Webhook, Delivery]:
    """A webhook with one of its deliveries.

    Raises:
        NotFoundError: as `webhook_of`, or it has no such delivery.
    """
    held = webhook_of(installation, actor, webhook_id).webhook
    with installation.store.reading() as session:
        found = deliveries.find_delivery(session, webhook_id, delivery_id)
    if found is None:
        raise NotFoundError(NO_DELIVERY)
    return held, found

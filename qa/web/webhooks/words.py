"""Events, states and times of webhooks in words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType

from qa.services.webhook_events import TRIAL, Event
from qa.store.deliveries import DELIVERED, GIVEN_UP, Delivery
from qa.store.webhooks import ON, Webhook
from qa.texts.saying import say, say_count, to_say
from qa.web.dates import utc_text
from qa.web.form_fields import Option

EVENT_WORDS: Mapping[str, str] = MappingProxyType(
    {
        Event.JOB_STARTED.value: to_say("A job was started"),
        Event.ENTRY_RECORDED.value: to_say("An entry was recorded"),
        Event.STAGE_SIGNED.value: to_say("A stage was signed off"),
        Event.STAGE_DECIDED.value: to_say("A stage was released or refused"),
        Event.FINDING_OUTSIDE.value: to_say("Something is outside its limits"),
        Event.PACK_READY.value: to_say("A pack is ready"),
        Event.MESSAGE_ARRIVED.value: to_say("A homeowner or an insurer has written"),
        TRIAL: to_say("A trial"),
    }
)
EVENT_OPTIONS = tuple(Option(value=one.value, label=EVENT_WORDS[one.value]) for one in Event)


def moment_text(moment: datetime) -> str:
    """A time, which belongs to no job and so to no place."""
    return utc_text(moment)


def state_text(webhook: Webhook) -> str:
    """How a webhook stands."""
    if webhook.state != ON:
        return say("Paused")
    if webhook.failures and webhook.next_at is not None:
        return say(
            "The last attempt failed; the next is on %(when)s", when=moment_text(webhook.next_at)
        )
    return say("On")


def delivery_text(webhook: Webhook, delivery: Delivery) -> str:
    """How a delivery stands, and when it is tried next."""
    when = moment_text(delivery.settled_at or delivery.written_at)
    if delivery.state == DELIVERED:
        return say("Delivered on %(when)s", when=when)
    if delivery.state == GIVEN_UP:
        return say("Given up on %(when)s", when=when)
    if webhook.state == ON and webhook.next_at is not None:
        return say("Waits; the next attempt is on %(when)s", when=moment_text(webhook.next_at))
    return say("Waits until the webhook goes on")


def attempts_text(delivery: Delivery) -> str:
    """How often it was tried, and what came of it last."""
    if not delivery.attempts:
        return say("Not tried yet")
    tried = say_count("%(number)s attempt", "%(number)s attempts", delivery.attempts)
    return f"{tried}. {delivery.fault}" if delivery.fault else tried

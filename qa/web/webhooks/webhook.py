"""One webhook: how it stands, what was sent to it last, a trial, and a pause."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services import webhooks
from qa.services.webhook_reading import webhook_of
from qa.store.deliveries import Delivery
from qa.store.webhooks import ON, Webhook
from qa.texts.saying import say
from qa.web import clock
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.frame import actor, house, render_page
from qa.web.webhooks.routing import blueprint
from qa.web.webhooks.words import (
    EVENT_WORDS,
    attempts_text,
    delivery_text,
    moment_text,
    state_text,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryLine:
    """A delivery in the list."""

    way: str
    number: int
    event: str
    state: str
    attempts: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WebhookPage:
    """The page.

    Attributes:
        because: why the program itself has paused it, or nothing.
        former_until: until when the secret before signs too, or nothing.
    """

    id: str
    address: str
    state: str
    because: str
    is_on: bool
    events: tuple[str, ...]
    former_until: str
    lines: tuple[DeliveryLine, ...]


@blueprint.get("/webhooks/<webhook>", endpoint="webhook")
def show_webhook(webhook: str) -> str:
    """How it stands, and what was sent last."""
    told = webhook_of(house(), actor(), webhook)
    held = told.webhook
    still = held.former_until is not None and clock.now() < held.former_until
    page = WebhookPage(
        id=held.id,
        address=held.address,
        state=state_text(held),
        because=held.because,
        is_on=held.state == ON,
        events=tuple(str(EVENT_WORDS[event]) for event in held.events),
        former_until=moment_text(held.former_until) if still and held.former_until else "",
        lines=tuple(_line(held, one) for one in told.deliveries),
    )
    return render_page("webhooks/webhook.html", page)


@blueprint.post("/webhooks/<webhook>/trial", endpoint="trial")
def send_trial(webhook: str) -> ResponseReturnValue:
    """Sends an event that tells of nothing."""
    webhooks.send_trial(house(), actor(), webhook, now=clock.now())
    return _back(webhook, say("A trial is on its way. Open this page again in a moment."))


@blueprint.post("/webhooks/<webhook>/pause", endpoint="pause")
def pause(webhook: str) -> ResponseReturnValue:
    """Sends nothing for a while."""
    webhooks.pause(house(), actor(), webhook)
    return _back(webhook, say("Nothing is sent until you let it go on; what happens waits."))


@blueprint.post("/webhooks/<webhook>/go-on", endpoint="go_on")
def go_on(webhook: str) -> ResponseReturnValue:
    """Sends again."""
    webhooks.go_on(house(), actor(), webhook, now=clock.now())
    return _back(webhook, say("It goes on. What waited is sent first."))


def _back(webhook: str, said: str) -> ResponseReturnValue:
    flash(said, SAID_PLAINLY)
    return redirect(url_for("webhooks.webhook", webhook=webhook), 303)


def _line(held: Webhook, one: Delivery) -> DeliveryLine:
    return DeliveryLine(
        way=url_for("webhooks.delivery", webhook=held.id, delivery=one.id),
        number=one.number,
        event=str(EVENT_WORDS[one.event]),
        state=delivery_text(held, one),
        attempts=attempts_text(one),
    )

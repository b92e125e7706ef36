"""One delivery: the very bytes, how it went, and sending it again."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services import webhooks
from qa.services.webhook_reading import delivery_of
from qa.store.deliveries import WAITING
from qa.store.webhooks import ON
from qa.texts.saying import say
from qa.web import clock
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.frame import actor, house, render_page
from qa.web.webhooks.routing import blueprint
from qa.web.webhooks.words import EVENT_WORDS, attempts_text, delivery_text, moment_text


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryPage:
    """The page.

    Attributes:
        may_go_again: whether it can be sent once more: it does not wait, and the webhook is on.
        back: to the webhook.
    """

    id: str
    number: int
    event: str
    state: str
    attempts: str
    written: str
    body: str
    may_go_again: bool
    again: str
    back: str


@blueprint.get("/webhooks/<webhook>/deliveries/<delivery>", endpoint="delivery")
def show_delivery(webhook: str, delivery: str) -> str:
    """What is sent, and how it stands."""
    held, one = delivery_of(house(), actor(), webhook, delivery)
    page = DeliveryPage(
        id=one.id,
        number=one.number,
        event=str(EVENT_WORDS[one.event]),
        state=delivery_text(held, one),
        attempts=attempts_text(one),
        written=moment_text(one.written_at),
        body=one.body,
        may_go_again=one.state != WAITING and held.state == ON,
        again=url_for("webhooks.again", webhook=webhook, delivery=delivery),
        back=url_for("webhooks.webhook", webhook=webhook),
    )
    return render_page("webhooks/delivery.html", page)


@blueprint.post("/webhooks/<webhook>/deliveries/<delivery>/again", endpoint="again")
def send_again(webhook: str, delivery: str) -> ResponseReturnValue:
    """Sends it once more."""
    webhooks.send_again(house(), actor(), webhook, delivery, now=clock.now())
    flash(say("It is on its way again, with the id that it had."), SAID_PLAINLY)
    return redirect(url_for("webhooks.webhook", webhook=webhook), 303)

"""The firm's webhooks: the list, and a new one whose secret is shown once."""

from __future__ import annotations

from dataclasses import dataclass, field

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.services import webhooks
from qa.services.webhook_events import Event
from qa.services.webhook_reading import webhooks_of
from qa.services.webhooks import NewSecret
from qa.store.webhooks import Webhook
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.frame import actor, house, render_page
from qa.web.webhooks.forms import NewWebhookForm
from qa.web.webhooks.routing import blueprint
from qa.web.webhooks.words import state_text


@dataclass(frozen=True, slots=True, kw_only=True)
class WebhookLine:
    """A webhook in the list."""

    way: str
    address: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterPage:
    """What the page of all webhooks shows."""

    form: NewWebhookForm
    lines: tuple[WebhookLine, ...]
    asks_password: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SecretPage:
    """What the page shows that shows a secret, this once.

    Attributes:
        way: to the page of the webhook.
        former_days: how long the secret before signs too; 0 where there was none.
    """

    way: str
    address: str
    secret: str = field(repr=False)
    former_days: int


@blueprint.route("/webhooks", methods=["GET", "POST"], endpoint="register")
def show_register() -> ResponseReturnValue:
    """The list; sent, a new one."""
    form, someone = NewWebhookForm(events=(Event.STAGE_SIGNED.value,)), actor()

    def do() -> ResponseReturnValue:
        made = webhooks.make_webhook(
            house(), someone, sessions.confirmation(form.password.data),
            address=form.address.data or "", events=form.events.data or (), now=clock.now(),
        )  # fmt: skip
        return secret_page(made, former_days=0)

    def page() -> str:
        lines = tuple(map(_line, webhooks_of(house(), someone)))
        context = RegisterPage(form=form, lines=lines, asks_password=not sessions.is_fresh())
        return render_page("webhooks/register.html", context)

    return answered(form, do, page)


def secret_page(made: NewSecret, *, former_days: int) -> str:
    """The page that shows a secret, this once."""
    page = SecretPage(
        way=url_for("webhooks.webhook", webhook=made.webhook_id),
        address=made.address,
        secret=made.secret,
        former_days=former_days,
    )
    return render_page("webhooks/secret.html", page)


def _line(one: Webhook) -> WebhookLine:
    return WebhookLine(
        way=url_for("webhooks.webhook", webhook=one.id),
        address=one.address,
        state=state_text(one),
    )

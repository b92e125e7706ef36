"""Changing a webhook: its events, its secret, and its end."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services import webhooks
from qa.services.webhook_reading import webhook_of
from qa.services.webhooks import FORMER_SIGNS
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.forms import ConfirmForm
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.frame import actor, house, render_page
from qa.web.webhooks.forms import EventsForm, SecretForm
from qa.web.webhooks.register import secret_page
from qa.web.webhooks.routing import blueprint


@dataclass(frozen=True, slots=True, kw_only=True)
class EventsPage:
    """What the page of its events shows."""

    form: EventsForm
    address: str
    back: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfirmPage:
    """What the pages of a new secret and of the end show."""

    form: ConfirmForm
    address: str
    back: str
    asks_password: bool


@blueprint.route("/webhooks/<webhook>/events", methods=["GET", "POST"], endpoint="events")
def choose_events(webhook: str) -> ResponseReturnValue:
    """Chooses what it is told of."""
    held = webhook_of(house(), actor(), webhook).webhook
    form, back = EventsForm(events=held.events), url_for("webhooks.webhook", webhook=webhook)

    def do() -> ResponseReturnValue:
        webhooks.choose_events(house(), actor(), webhook, form.events.data or ())
        flash(say("It is told of these from now on."), SAID_PLAINLY)
        return redirect(back, 303)

    page = EventsPage(form=form, address=held.address, back=back)
    return answered(form, do, lambda: render_page("webhooks/events.html", page))


@blueprint.route("/webhooks/<webhook>/secret", methods=["GET", "POST"], endpoint="secret")
def renew_secret(webhook: str) -> ResponseReturnValue:
    """Makes another secret."""
    form = SecretForm()
    page = _confirm_page(form, webhook)

    def do() -> ResponseReturnValue:
        at_once = bool(form.at_once.data)
        made = webhooks.renew_secret(
            house(), actor(), webhook, sessions.confirmation(form.password.data),
            at_once=at_once, now=clock.now(),
        )  # fmt: skip
        return secret_page(made, former_days=0 if at_once else FORMER_SIGNS.days)

    return answered(form, do, lambda: render_page("webhooks/new_secret.html", page))


@blueprint.route("/webhooks/<webhook>/end", methods=["GET", "POST"], endpoint="end")
def end_webhook(webhook: str) -> ResponseReturnValue:
    """Ends it."""
    form = ConfirmForm()
    page = _confirm_page(form, webhook)

    def do() -> ResponseReturnValue:
        confirmation = sessions.confirmation(form.password.data)
        webhooks.end_webhook(house(), actor(), webhook, confirmation, now=clock.now())
        flash(say("The webhook has ended. Nothing more is sent there."), SAID_PLAINLY)
        return redirect(url_for("webhooks.register"), 303)

    return answered(form, do, lambda: render_page("webhooks/end.html", page))


def _confirm_page(form: ConfirmForm, webhook: str) -> ConfirmPage:
    held = webhook_of(house(), actor(), webhook).webhook
    return ConfirmPage(
        form=form,
        address=held.address,
        back=url_for("webhooks.webhook", webhook=webhook),
        asks_password=not sessions.is_fresh(),
    )

"""A firm's webhooks: registered, changed, tried, ended.

The secret is made here and shown once. It must sign, so it is kept sealed and not as a digest.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from qa.errors import AccountError, ConflictError, NotFoundError
from qa.services.access import Act, Actor, require
from qa.services.confirming import Confirmation, confirm
from qa.services.typed_people import fault_of
from qa.services.vault import new_token, seal
from qa.services.waking import wake
from qa.services.webhook_addresses import read_address
from qa.services.webhook_delivery import SEALED
from qa.services.webhook_events import Event, deliverable, of_trial
from qa.services.webhook_reading import NO_DELIVERY, NO_WEBHOOK
from qa.store import accounts, deliveries, webhooks
from qa.store.tables import WebhookRow
from qa.store.webhooks import ENDED, ON, PAUSED, hold_webhook, plan

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation

PREFIX = "laidtrue_hook_"
"""So that whoever finds one in a file knows what it is."""
MOST_AT_ONCE = 10
"""Webhooks of one firm."""
FORMER_SIGNS = timedelta(days=2)
"""How long the secret before signs too, so that the receiver can be changed in between."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewSecret:
    """A secret that was just made.

    Attributes:
        secret: to be given to the receiver; it is not shown again.
    """

    webhook_id: str
    address: str
    secret: str = field(repr=False)


def make_webhook(
    installation: Installation,
    actor: Actor,
    confirmation: Confirmation,
    *,
    address: str,
    events: Iterable[str],
    now: datetime,
) -> NewSecret:
    """Registers an address.

    Args:
        installation: where.
        actor: who does it.
        confirmation: that it is they.
        address: as it was typed.
        events: words of `Event`; at least one.
        now: the time.

    Raises:
        AccountError: address, events or password cannot be taken, or the firm has many already.
        TooOftenError: too many tries of the password.
    """
    require(actor, Act.SEND_EVENTS)
    account = confirm(installation, actor, confirmation, now=now)
    chosen = _read_events(events)
    read_address(address, installation.settings.webhook_networks)
    webhook_id, secret = installation.new_id(), f"{PREFIX}{new_token()}"
    with installation.store.writing() as session:
        accounts.hold_firm(session, actor.firm_id)
        if len(webhooks.webhooks_of(session, actor.firm_id)) >= MOST_AT_ONCE:
            sentence = f"The firm has {MOST_AT_ONCE} webhooks already. End one first."
            raise AccountError(fault_of("address", sentence))
        webhooks.add_webhook(
            session, id_=webhook_id, firm_id=actor.firm_id, address=address.strip(), events=chosen,
            secret=_sealed(installation, webhook_id, secret), made_by=account.id, now=now,
        )  # fmt: skip
    return NewSecret(webhook_id=webhook_id, address=address.strip(), secret=secret)


def choose_events(
    installation: Installation, actor: Actor, webhook_id: str, events: Iterable[str]
) -> None:
    """Chooses what it is told of from now on.

    Raises:
        AccountError: none, or one that there is not.
        NotFoundError: the firm has no such webhook.
    """
    require(actor, Act.SEND_EVENTS)
    chosen = _read_events(events)
    with installation.store.writing() as session:
        _held(session, actor, webhook_id).events = " ".join(chosen)


def pause(installation: Installation, actor: Actor, webhook_id: str) -> None:
    """Sends nothing for a while; what happens meanwhile waits.

    Raises:
        NotFoundError: the firm has no such webhook.
    """
    require(actor, Act.SEND_EVENTS)
    with installation.store.writing() as session:
        row = _held(session, actor, webhook_id)
        row.state, row.because = PAUSED, ""


def go_on(installation: Installation, actor: Actor, webhook_id: str, *, now: datetime) -> None:
    """Sends again, at once and in order what waits.

    Raises:
        NotFoundError: the firm has no such webhook.
    """
    require(actor, Act.SEND_EVENTS)
    with installation.store.writing() as session:
        row = _held(session, actor, webhook_id)
        row.state, row.because = ON, ""
        _send_now(session, row, now)
    wake(installation)


def renew_secret(
    installation: Installation,
    actor: Actor,
    webhook_id: str,
    confirmation: Confirmation,
    *,
    at_once: bool,
    now: datetime,
) -> NewSecret:
    """Makes another secret.

    Args:
        installation: where.
        actor: who does it.
        webhook_id: of which webhook.
        confirmation: that it is they.
        at_once: whether the one before signs no more; else it signs too for `FORMER_SIGNS`.
        now: the time.

    Raises:
        AccountError: the password is wrong.
        NotFoundError: the firm has no such webhook.
    """
    require(actor, Act.SEND_EVENTS)
    confirm(installation, actor, confirmation, now=now)
    secret = f"{PREFIX}{new_token()}"
    with installation.store.writing() as session:
        row = _held(session, actor, webhook_id)
        row.former_secret = None if at_once else row.secret
        row.former_until = None if at_once else now + FORMER_SIGNS
        row.secret = _sealed(installation, webhook_id, secret)
        address = row.address
    return NewSecret(webhook_id=webhook_id, address=address, secret=secret)


def end_webhook(
    installation: Installation,
    actor: Actor,
    webhook_id: str,
    confirmation: Confirmation,
    *,
    now: datetime,
) -> None:
    """Ends one; what still waits is not sent, and its secrets are forgotten.

    Raises:
        AccountError: the password is wrong.
        NotFoundError: the firm has no such webhook.
    """
    require(actor, Act.SEND_EVENTS)
    confirm(installation, actor, confirmation, now=now)
    with installation.store.writing() as session:
        row = _held(session, actor, webhook_id)
        row.state, row.secret, row.former_secret, row.next_at = ENDED, None, None, None
        fault = "The webhook was ended."
        deliveries.give_up_waiting(session, webhook_id, before=None, fault=fault, now=now)


def send_trial(installation: Installation, actor: Actor, webhook_id: str, *, now: datetime) -> None:
    """Sends an event that tells of nothing, behind whatever waits.

    Raises:
        ConflictError: it is paused.
        NotFoundError: the firm has no such webhook.
    """
    require(actor, Act.SEND_EVENTS)
    with installation.store.writing() as session:
        row = _held(session, actor, webhook_id)
        _require_on(row)
        trial = deliverable(of_trial(), installation.new_id(), now)
        deliveries.write_deliveries(session, webhook_id, (trial,), now)
        _send_now(session, row, now)
    wake(installation)


def send_again(
    installation: Installation, actor: Actor, webhook_id: str, delivery_id: str, *, now: datetime
) -> None:
    """Sends a delivery once more, with the id, number and body that it had.

    Raises:
        ConflictError: it is paused.
        NotFoundError: the firm has no such webhook, or that no such delivery.
    """
    require(actor, Act.SEND_EVENTS)
    with installation.store.writing() as session:
        row = _held(session, actor, webhook_id)
        if not deliveries.wait_again(session, webhook_id, delivery_id, now):
            raise NotFoundError(NO_DELIVERY)
        _require_on(row)
        _send_now(session, row, now)
    wake(installation)


def _held(session: Session, actor: Actor, webhook_id: str) -> WebhookRow:
    row = hold_webhook(session, webhook_id)
    if row is None or row.firm_id != actor.firm_id:
        raise NotFoundError(NO_WEBHOOK)
    return row


def _require_on(row: WebhookRow) -> None:
    if row.state != ON:
        raise ConflictError("This webhook is paused. Let it go on first.")


def _send_now(session: Session, row: WebhookRow, now: datetime) -> None:
    """Sends what waits without a further pause, whenever the next attempt was to be."""
    row.failures = 0
    session.flush()
    plan(session, row.id, now)


def _read_events(events: Iterable[str]) -> tuple[str, ...]:
    chosen = set(events)
    if not chosen or not chosen <= {event.value for event in Event}:
        raise AccountError(fault_of("events", "Choose at least one of these."))
    return tuple(event.value for event in Event if event.value in chosen)


def _sealed(installation: Installation, webhook_id: str, secret: str) -> bytes:
    return seal(installation.seal_key, secret.encode(), purpose=SEALED, whose=webhook_id)

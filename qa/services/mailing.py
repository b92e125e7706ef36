"""E-mail: sent from the outbox, made from what the ledger says when it is sent.

A server that is away loses nothing: the message goes back into the outbox, each time for longer, in
the transaction that ends this attempt.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from email.message import EmailMessage
from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from sqlalchemy.orm import Session

from qa.packs.templating import templates_folder
from qa.services.letters import LETTERS, RECIPIENTS, Letter
from qa.services.mail_sending import MailServerAwayError, send
from qa.services.mail_tasks import MAIL, Mail, MailKind, read_mail
from qa.store.accounts import Account
from qa.store.outbox import enqueue
from qa.texts.templating import let_speak

if TYPE_CHECKING:
    from qa.services.installation import Installation

Effect = Callable[[Session], None]
FIRST_DELAY = timedelta(minutes=1)
LONGEST_DELAY = timedelta(hours=2)
MOST_ATTEMPTS = 100
"""More than a week of a server that is away."""


def deliver_mail(installation: Installation, subject: str, now: datetime) -> Effect:
    """Sends a message, or finds out to whom it goes; the background's work."""
    mail, server = read_mail(subject), installation.settings.mail
    if server is None:
        return _nothing
    if mail.kind in RECIPIENTS and not mail.person:
        people = RECIPIENTS[mail.kind](installation, mail)
        return lambda session: _enqueue_each(session, mail, people, now)
    letter = LETTERS[mail.kind](installation, mail, now)
    if letter is None:
        return _nothing
    try:
        send(server, _message(server.sender, mail.kind, letter))
    except MailServerAwayError:
        if mail.attempt >= MOST_ATTEMPTS:
            raise
        again = replace(mail, attempt=mail.attempt + 1)
        delay = min(FIRST_DELAY * 2 ** min(mail.attempt, 10), LONGEST_DELAY)
        return lambda session: _enqueue(session, again, now + delay)
    return _nothing


def _message(sender: str, kind: MailKind, letter: Letter) -> EmailMessage:
    text = _environment().get_template(f"{kind}.txt").render(**letter.words)
    title, _, body = text.partition("\n")
    message = EmailMessage()
    message["From"], message["To"] = sender, letter.email
    message["Subject"] = " ".join(title.split())
    message["Auto-Submitted"] = "auto-generated"
    message.set_content(body.strip() + "\n")
    return message


@cache
def _environment() -> Environment:
    """Plain text: nothing in it is markup."""
    environment = Environment(
        loader=FileSystemLoader(templates_folder() / "mail"),
        undefined=StrictUndefined,
        autoescape=False,  # noqa: S701 - a text/plain message has no markup to escape
    )
    let_speak(environment)
    return environment


def _enqueue(session: Session, mail: Mail, due_at: datetime) -> None:
    enqueue(session, MAIL, mail.text, due_at)


def _enqueue_each(session: Session, mail: Mail, people: tuple[Account, ...], now: datetime) -> None:
    for person in people:
        _enqueue(session, replace(mail, person=person.id), now)


def _nothing(session: Session) -> None:
    """Nobody is to be told any more, or has just been."""

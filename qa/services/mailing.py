"""E-mail: who is told of what, made from what the ledger says when it is sent.

A server that is away loses nothing: the message goes back into the outbox, each time for longer, in
the transaction that ends this attempt.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from email.message import EmailMessage
from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from sqlalchemy.orm import Session

from qa.packs.templating import templates_folder
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.services.access import Role
from qa.services.invitation_links import invitation_address
from qa.services.mail_sending import MailServerAwayError, send
from qa.services.mail_tasks import MAIL, Mail, MailKind, read_mail
from qa.services.reading import read_any_job
from qa.store import accounts, invitations, papers
from qa.store.accounts import Account
from qa.store.ledger import firm_of_job
from qa.store.outbox import enqueue
from qa.texts.templating import let_speak

if TYPE_CHECKING:
    from qa.services.installation import Installation

Effect = Callable[[Session], None]
FIRST_DELAY = timedelta(minutes=1)
LONGEST_DELAY = timedelta(hours=2)
MOST_ATTEMPTS = 100
"""More than a week of a server that is away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What a message says, and to whom."""

    email: str
    words: Mapping[str, str]


def deliver_mail(installation: Installation, subject: str, now: datetime) -> Effect:
    """Sends a message, or finds out to whom it goes; the background's work."""
    mail, server = read_mail(subject), installation.settings.mail
    if server is None:
        return _nothing
    if mail.kind in _ABOUT_SIGNATURES and not mail.person:
        people = _people_of(installation, mail)
        return lambda session: _enqueue_each(session, mail, people, now)
    letter = _LETTERS[mail.kind](installation, mail, now)
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


def _invitation(installation: Installation, mail: Mail, now: datetime) -> Letter | None:
    with installation.store.reading() as session:
        held = invitations.open_by_id(session, mail.about, now=now)
        firm = accounts.firm_by_id(session, held.firm_id) if held else None
    if held is None or firm is None:
        return None
    return Letter(
        email=held.email,
        words={
            "name": held.name,
            "firm": firm.name,
            "link": invitation_address(installation, held.id),
            "until": f"{held.expires_at.day} {held.expires_at:%B %Y}",
        },
    )


def _pack_ready(installation: Installation, mail: Mail, _now: datetime) -> Letter | None:
    with installation.store.reading() as session:
        pack = papers.ready_pack(session, mail.about)
        person = accounts.account_by_id(session, pack.asked_by) if pack else None
    if pack is None or person is None or person.email is None:
        return None
    read = read_any_job(installation, firm_id=pack.firm_id, job_id=pack.job_id)
    return Letter(
        email=person.email,
        words={
            "name": person.name,
            "reference": read.job.reference,
            "pack": pack.kind,
            "link": f"{installation.settings.origin.rstrip('/')}/jobs/{pack.job_id}/packs",
        },
    )


def _signature(installation: Installation, mail: Mail, _now: datetime) -> Letter | None:
    signed = _signed(installation, mail)
    with installation.store.reading() as session:
        person = accounts.account_by_id(session, mail.person)
    if signed is None or person is None or person.email is None:
        return None
    origin, job_id = installation.settings.origin.rstrip("/"), mail.about.partition("/")[0]
    return Letter(
        email=person.email,
        words={
            "name": person.name,
            "reference": signed.reference,
            "stage": signed.body.stage,
            "link": f"{origin}/jobs/{job_id}/stages/{signed.body.stage}",
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Signed:
    """A signature that somebody is told of, and whose work it is about."""

    firm_id: str
    reference: str
    body: SignOff
    crew: frozenset[str]


def _signed(installation: Installation, mail: Mail) -> _Signed | None:
    job_id, _, entry_id = mail.about.partition("/")
    with installation.store.reading() as session:
        firm_id = firm_of_job(session, job_id)
    if firm_id is None:
        return None
    read = read_any_job(installation, firm_id=firm_id, job_id=job_id)
    signatures = read.job.sign_offs
    body = next((one.body for one in signatures if one.entry.id == entry_id), None)
    if body is None:
        return None
    crew = frozenset(
        one.by
        for one in signatures
        if one.body.stage is body.stage and one.body.decision is SignOffDecision.COMPLETE
    )
    return _Signed(firm_id=firm_id, reference=read.job.reference, body=body, crew=crew)


def _people_of(installation: Installation, mail: Mail) -> tuple[Account, ...]:
    """Who is told: every supervisor of a stage that waits, its crew of one that was refused."""
    signed = _signed(installation, mail)
    if signed is None:
        return ()
    with installation.store.reading() as session:
        firm = accounts.accounts_of(session, signed.firm_id)
    if mail.kind is MailKind.REFUSED:
        return tuple(one for one in firm if one.key in signed.crew and one.ended_at is None)
    return tuple(one for one in firm if Role.SUPERVISOR in one.roles and one.ended_at is None)


_ABOUT_SIGNATURES = frozenset({MailKind.RELEASE_WAITING, MailKind.REFUSED})
_LETTERS: Mapping[MailKind, Callable[[Installation, Mail, datetime], Letter | None]] = {
    MailKind.INVITATION: _invitation,
    MailKind.PACK_READY: _pack_ready,
    MailKind.RELEASE_WAITING: _signature,
    MailKind.REFUSED: _signature,
}

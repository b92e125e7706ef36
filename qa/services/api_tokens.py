"""Tokens by which other programs act as a person: made, listed, ended, and recognised.

A token is shown once, to whoever made it; the database knows its digest. A program that carries one
may do what the person's roles allow at that moment, and nothing about accounts.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from qa.errors import AccountError, NotFoundError
from qa.services.access import Actor
from qa.services.confirming import Confirmation, confirm
from qa.services.signing_in import acting
from qa.services.throttling import Counted, Limit, from_address, take_try
from qa.services.typed_people import fault_of
from qa.services.vault import new_token, plain_digest
from qa.store import accounts, api_tokens
from qa.store.api_tokens import USE_IS_KEPT_EVERY, ApiToken

if TYPE_CHECKING:
    from qa.services.installation import Installation

PREFIX = "laidtrue_"
"""So that whoever finds one in a file knows what it is."""
LONGEST_NAME = 60
MOST_AT_ONCE = 20
"""Tokens of one person that work at the same time."""
LASTS: tuple[int, ...] = (30, 90, 365)
"""Days that a token may last."""
REQUESTS_OF_TOKEN = Limit(what="token", tries=3000, span=timedelta(minutes=5))
WRONG_TOKENS_FROM_ADDRESS = Limit(what="wrong token", tries=60, span=timedelta(minutes=15))
_NOT_THERE = "This token has ended, or is not there. Your account lists those that work."


@dataclass(frozen=True, slots=True, kw_only=True)
class NewToken:
    """A token that was just made.

    Attributes:
        token: to be given to the program; it is not shown again.
    """

    token: str = field(repr=False)
    name: str
    expires_at: datetime


def make_token(
    installation: Installation,
    actor: Actor,
    confirmation: Confirmation,
    *,
    name: str,
    days: int,
    now: datetime,
) -> NewToken:
    """Makes a token of the actor's.

    Args:
        installation: where.
        actor: as whom the program will act.
        confirmation: that it is they.
        name: by which they know the program; 1 to 60 characters.
        days: how long it lasts, one of `LASTS`.
        now: the moment.

    Raises:
        AccountError: the password is wrong, the name or span will not do, or too many work already.
        TooOftenError: too many tries of the password.
    """
    account = confirm(installation, actor, confirmation, now=now)
    called = _read_name(name)
    if days not in LASTS:
        raise AccountError(fault_of("days", "Choose how long the token lasts."))
    token = f"{PREFIX}{new_token()}"
    row = ApiToken(
        id=installation.new_id(),
        firm_id=account.firm_id,
        person_id=account.id,
        token_hash=plain_digest(token),
        name=called,
        created_at=now,
        expires_at=now + timedelta(days=days),
    )
    with installation.store.writing() as session:
        accounts.hold_firm(session, account.firm_id)
        if sum(one.works(now) for one in api_tokens.tokens_of(session, account.id)) >= MOST_AT_ONCE:
            sentence = f"{MOST_AT_ONCE} tokens of yours work already. End one that is not needed."
            raise AccountError(fault_of("name", sentence))
        api_tokens.add_token(session, row)
    return NewToken(token=token, name=called, expires_at=row.expires_at)


def tokens_of(installation: Installation, actor: Actor, *, now: datetime) -> tuple[ApiToken, ...]:
    """The actor's tokens that still work, the newest first."""
    with installation.store.reading() as session:
        held = api_tokens.tokens_of(session, actor.person_id)
    return tuple(token for token in held if token.works(now))


def token(installation: Installation, actor: Actor, token_id: str, *, now: datetime) -> ApiToken:
    """One of the actor's tokens that still work.

    Raises:
        NotFoundError: it is none of theirs, or has ended.
    """
    for held in tokens_of(installation, actor, now=now):
        if held.id == token_id:
            return held
    raise NotFoundError(_NOT_THERE)


def end_token(
    installation: Installation,
    actor: Actor,
    token_id: str,
    confirmation: Confirmation,
    *,
    now: datetime,
) -> None:
    """Ends one of the actor's tokens; the program that carries it is refused from then on.

    Raises:
        AccountError: the password is wrong.
        NotFoundError: it is none of theirs, or has ended.
    """
    account = confirm(installation, actor, confirmation, now=now)
    with installation.store.writing() as session:
        if not api_tokens.end_token(session, account.id, token_id, now=now):
            raise NotFoundError(_NOT_THERE)


def actor_by_token(
    installation: Installation, token: str, *, address: str, now: datetime
) -> Actor | None:
    """Who acts by a token, with the roles in force now; nobody where it does not work.

    Args:
        installation: where.
        token: as the program sent it.
        address: the network address that it comes from.
        now: the moment.

    Raises:
        TooOftenError: too many requests of this token, or too many wrong ones from this address.
    """
    with installation.store.reading() as session:
        held = api_tokens.token_by_hash(session, plain_digest(token))
        account = accounts.account_by_id(session, held.person_id) if held else None
    if held is None or account is None or not held.works(now) or account.ended_at is not None:
        take_try(installation, (from_address(WRONG_TOKENS_FROM_ADDRESS, address),), now=now)
        return None
    take_try(installation, (Counted(limit=REQUESTS_OF_TOKEN, subject=held.id),), now=now)
    if held.used_at is None or held.used_at <= now - USE_IS_KEPT_EVERY:
        with installation.store.writing() as session:
            api_tokens.note_use(session, held.id, now=now)
    return acting(account)


def _read_name(name: str) -> str:
    called = " ".join(name.split())
    if not called:
        raise AccountError(fault_of("name", "Name the program, so that you know the token again."))
    if len(called) > LONGEST_NAME or not called.isprintable():
        sentence = f"A name has at most {LONGEST_NAME} characters, all visible."
        raise AccountError(fault_of("name", sentence))
    return called

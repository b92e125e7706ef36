"""The firm's people: who they are, what they may do, and the end of their employment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.errors import AccountError, NotAllowedError, NotFoundError
from qa.services.access import ASK_FOR_SECOND_FACTOR, Act, Actor, Role, require
from qa.services.inviting import Link, make_new_password_link
from qa.services.typed_people import fault_of
from qa.services.vault import new_token
from qa.store import accounts, invitations, proving
from qa.store.accounts import Account
from qa.store.invitations import Invitation

if TYPE_CHECKING:
    from qa.services.installation import Installation

LONGEST_COMPETENCE = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Colleague:
    """A person of the firm.

    Attributes:
        key: the name by which entries of the record call them.
        email: None once they have left.
        has_second_factor: whether they have a passkey or an authenticator.
        owes_second_factor: whether a role is not in force until they have one.
        ended_at: when they left, or None.
    """

    key: str
    name: str
    email: str | None
    roles: frozenset[Role]
    competence: str | None
    has_second_factor: bool
    owes_second_factor: bool
    created_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Invited:
    """Somebody who was invited and has not come yet."""

    id: str
    name: str
    email: str
    roles: frozenset[Role]
    renews_password: bool
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Everyone:
    """A firm's people.

    Attributes:
        here: who may sign in.
        left: who once might.
        invited: who may come; empty for whoever may not invite.
    """

    firm: str
    here: tuple[Colleague, ...]
    left: tuple[Colleague, ...]
    invited: tuple[Invited, ...]


def everyone(installation: Installation, actor: Actor, *, now: datetime) -> Everyone:
    """The actor's firm and its people.

    Raises:
        NotAllowedError: the actor may not see the firm's people.
    """
    require(actor, Act.SEE_PEOPLE)
    with installation.store.reading() as session:
        firm = accounts.firm_by_id(session, actor.firm_id)
        people = tuple(map(_colleague, accounts.accounts_of(session, actor.firm_id)))
        waiting = invitations.open_in_firm(session, actor.firm_id, now=now)
    return Everyone(
        firm=firm.name if firm else "",
        here=tuple(one for one in people if one.ended_at is None),
        left=tuple(one for one in people if one.ended_at is not None),
        invited=tuple(map(_invited, waiting)) if actor.may(Act.INVITE) else (),
    )


def crew(installation: Installation, actor: Actor) -> tuple[Colleague, ...]:
    """Who may be named as the crew of a job: the firm's installers and supervisors.

    Raises:
        NotAllowedError: the actor may not start jobs.
    """
    require(actor, Act.START_JOB)
    with installation.store.reading() as session:
        people = tuple(map(_colleague, accounts.accounts_of(session, actor.firm_id)))
    on_the_roof = {Role.INSTALLER, Role.SUPERVISOR}
    return tuple(one for one in people if one.ended_at is None and one.roles & on_the_roof)


def person(installation: Installation, actor: Actor, key: str) -> Colleague:
    """One of the firm's people.

    Raises:
        NotAllowedError: the actor may not see the firm's people.
        NotFoundError: the firm has nobody of that key.
    """
    require(actor, Act.SEE_PEOPLE)
    with installation.store.reading() as session:
        return _colleague(_held(session, actor, key))


def change(
    installation: Installation,
    actor: Actor,
    key: str,
    *,
    roles: frozenset[Role],
    competence: str,
    now: datetime,
) -> None:
    """Changes what a person may do, and the words about what they can do.

    Their sessions end everywhere where the roles change, and so do the invitations they made.

    Raises:
        NotAllowedError: the actor may not, or it would leave the firm without an owner.
        NotFoundError: the firm has nobody of that key who is still here.
        AccountError: the words are too long.
    """
    require(actor, Act.MANAGE_PEOPLE)
    words = " ".join(competence.split())
    if len(words) > LONGEST_COMPETENCE or not words.isprintable():
        raise AccountError(
            fault_of("competence", f"Say it in {LONGEST_COMPETENCE} visible characters at most.")
        )
    with installation.store.writing() as session:
        accounts.hold_firm(session, actor.firm_id)
        account = _here(session, actor, key)
        accounts.set_competence(session, account.id, words or None)
        if frozenset(account.roles) != frozenset(roles):
            if Role.OWNER not in roles:
                _refuse_to_lose_last_owner(session, account)
            accounts.set_roles(session, account.id, tuple(roles))
            accounts.set_session_mark(session, account.id, new_token())
            invitations.end_invitations_by(session, account.id, now=now)


def end(installation: Installation, actor: Actor, key: str, *, now: datetime) -> None:
    """Ends a person's employment: they can no longer sign in, and what they recorded stays.

    Raises:
        NotAllowedError: the actor may not, or it would leave the firm without an owner.
        NotFoundError: the firm has nobody of that key who is still here.
    """
    require(actor, Act.MANAGE_PEOPLE)
    with installation.store.writing() as session:
        accounts.hold_firm(session, actor.firm_id)
        end_account(session, _here(session, actor, key), now=now)


def end_account(session: Session, account: Account, *, now: datetime) -> None:
    """Ends an account in the caller's transaction, which holds the firm.

    Raises:
        NotAllowedError: it would leave the firm without an owner.
    """
    _refuse_to_lose_last_owner(session, account)
    accounts.end_account(session, account.id, session_mark=new_token(), now=now)
    proving.remove_passkeys(session, account.id)
    proving.keep_recovery_codes(session, account.id, ())
    invitations.end_invitations_by(session, account.id, now=now)


def link_for_new_password(
    installation: Installation, actor: Actor, key: str, *, now: datetime
) -> Link:
    """A link by which somebody who has forgotten their password gives themselves a new one.

    Whoever has a second factor must still show it afterwards.

    Raises:
        NotAllowedError: the actor may not change what people may do.
        NotFoundError: the firm has nobody of that key who is still here.
    """
    require(actor, Act.MANAGE_PEOPLE)
    with installation.store.writing() as session:
        account = _here(session, actor, key)
        return make_new_password_link(
            installation, session, account, invited_by=actor.person_id, now=now
        )


def _held(session: Session, actor: Actor, key: str) -> Account:
    account = accounts.account_by_key(session, actor.firm_id, key)
    if account is None:
        raise NotFoundError("Your firm has nobody of that name. The list of people has them all.")
    return account


def _here(session: Session, actor: Actor, key: str) -> Account:
    account = _held(session, actor, key)
    if account.ended_at is not None:
        raise NotFoundError(f"{account.name} has left; their account cannot be changed any more.")
    return account


def _refuse_to_lose_last_owner(session: Session, account: Account) -> None:
    owners = [
        one.id
        for one in accounts.accounts_of(session, account.firm_id)
        if one.ended_at is None and Role.OWNER in one.roles
    ]
    if owners == [account.id]:
        raise NotAllowedError(
            f"{account.name} is the firm’s last owner. Make somebody else an owner first. "
            "Nothing was changed."
        )


def _colleague(account: Account) -> Colleague:
    roles = frozenset(map(Role, account.roles))
    return Colleague(
        key=account.key,
        name=account.name,
        email=account.email,
        roles=roles,
        competence=account.competence,
        has_second_factor=account.has_second_factor,
        owes_second_factor=bool(roles & ASK_FOR_SECOND_FACTOR) and not account.has_second_factor,
        created_at=account.created_at,
        ended_at=account.ended_at,
    )


def _invited(invitation: Invitation) -> Invited:
    return Invited(
        id=invitation.id,
        name=invitation.name,
        email=invitation.email,
        roles=frozenset(map(Role, invitation.roles)),
        renews_password=invitation.person_id is not None,
        expires_at=invitation.expires_at,
    )

"""Accepting an invitation: a name and a password make an account, or renew its password."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from qa.errors import AccountError
from qa.services.inviting import look_at, open_invitation
from qa.services.naming import key_for
from qa.services.passwords import hash_password, password_fault
from qa.services.typed_people import fault_of, read_name
from qa.services.vault import new_token
from qa.store import accounts, invitations
from qa.store.accounts import NewAccount
from qa.store.invitations import Invitation

if TYPE_CHECKING:
    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """What follows from an accepted invitation.

    Attributes:
        session_mark: the new account's, which is signed in by that; None where a password was
            renewed, for then the second factor is still to be shown.
    """

    session_mark: str | None = field(repr=False)


def accept(
    installation: Installation, token: str, *, name: str, password: str, now: datetime
) -> Accepted:
    """Makes the account that a link is for, or gives an account its new password.

    Args:
        installation: where.
        token: of the link.
        name: as people call them; a renewed password leaves the name as it is.
        password: the new one.
        now: the moment.

    Raises:
        NotFoundError: the link does not work any more.
        AccountError: the name or the password is not taken, or the e-mail signs in already.
    """
    invitation = look_at(installation, token, now=now)
    called = invitation.name if invitation.person_id else read_name(name)
    fault = password_fault(password, email=invitation.email, name=called)
    if fault:
        raise AccountError(fault_of("password", fault))
    password_hash = hash_password(password)  # slow, so before anything is locked
    with installation.store.writing() as session:
        accounts.hold_firm(session, invitation.firm_id)
        invitation = open_invitation(session, token, now=now)
        invitations.use_invitation(session, invitation.id, now=now)
        mark = new_token()
        if invitation.person_id is not None:
            accounts.set_password(session, invitation.person_id, password_hash)
            accounts.set_session_mark(session, invitation.person_id, mark)
            return Accepted(session_mark=None)
        new = _account(installation, session, invitation, called, password_hash, mark)
        _add(session, new, now=now)
    return Accepted(session_mark=mark)


def _account(
    installation: Installation,
    session: Session,
    invitation: Invitation,
    name: str,
    password_hash: str,
    session_mark: str,
) -> NewAccount:
    taken = {account.key for account in accounts.accounts_of(session, invitation.firm_id)}
    return NewAccount(
        id=installation.new_id(),
        firm_id=invitation.firm_id,
        key=key_for(name, taken),
        name=name,
        email=invitation.email,
        roles=invitation.roles,
        password_hash=password_hash,
        session_mark=session_mark,
    )


def _add(session: Session, new: NewAccount, *, now: datetime) -> None:
    try:
        accounts.add_account(session, new, now=now)
    except IntegrityError as error:
        raise AccountError(
            fault_of(
                "password",
                f"Somebody signs in with {new.email} already. Sign in, or ask for an invitation "
                "to another address.",
            )
        ) from error

"""What whoever keeps the installation does at its command line, without signing in.

They can read and write the database anyway; this is so that they need not. It is the only way to a
firm's first owner, and the only one past a second factor that was lost with all its codes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.errors import AccountError, NotFoundError
from qa.services.access import Role
from qa.services.inviting import Link, make_invitation, make_new_password_link
from qa.services.people import end_account
from qa.services.typed_people import LONGEST_NAME, TypedPerson, fault_of
from qa.services.vault import new_token
from qa.store import accounts, proving
from qa.store.accounts import Account, FirmAtRest

if TYPE_CHECKING:
    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A person of any firm, as the keeper's list names them."""

    firm: str
    key: str
    name: str
    email: str | None
    roles: tuple[str, ...]
    has_second_factor: bool
    ended_at: datetime | None


def add_person(
    installation: Installation, firm_name: str, person: TypedPerson, *, now: datetime
) -> Link:
    """Invites a person into a firm; a firm that is not there yet is made with them as its owner.

    Raises:
        AccountError: a new firm's first person is no owner, several firms have that name, or the
            firm has somebody with that e-mail.
    """
    with installation.store.writing() as session:
        firm_id = _firm_id(installation, session, firm_name, person, now=now)
        return make_invitation(installation, session, firm_id, person, invited_by=None, now=now)


def list_people(installation: Installation) -> tuple[Listed, ...]:
    """Everybody, firm by firm."""
    with installation.store.reading() as session:
        return tuple(
            _listed(firm, account)
            for firm in accounts.firms(session)
            for account in accounts.accounts_of(session, firm.id)
        )


def new_password_link(installation: Installation, email: str, *, now: datetime) -> Link:
    """A link by which somebody gives themselves a new password.

    Raises:
        NotFoundError: nobody signs in with that e-mail.
    """
    with installation.store.writing() as session:
        account = _account(session, email)
        return make_new_password_link(installation, session, account, invited_by=None, now=now)


def reset_second_factor(installation: Installation, email: str) -> str:
    """Takes away every second factor of a person and ends their sessions; answers their name.

    A supervisor is led to set up a new one at the next sign-in.

    Raises:
        NotFoundError: nobody signs in with that e-mail.
    """
    with installation.store.writing() as session:
        account = _account(session, email)
        accounts.set_authenticator(session, account.id, None, step=None)
        proving.remove_passkeys(session, account.id)
        proving.keep_recovery_codes(session, account.id, ())
        accounts.set_session_mark(session, account.id, new_token())
    return account.name


def end_person(installation: Installation, email: str, *, now: datetime) -> str:
    """Ends a person's employment; answers their name.

    Raises:
        NotFoundError: nobody signs in with that e-mail.
        NotAllowedError: it would leave the firm without an owner.
    """
    with installation.store.writing() as session:
        account = _account(session, email)
        accounts.hold_firm(session, account.firm_id)
        end_account(session, account, now=now)
    return account.name


def _firm_id(
    installation: Installation,
    session: Session,
    name: str,
    person: TypedPerson,
    *,
    now: datetime,
) -> str:
    plain = " ".join(name.split())
    if not plain or not plain.isprintable() or len(plain) > LONGEST_NAME:
        raise AccountError(
            fault_of("firm", f"A firm's name has 1 to {LONGEST_NAME} visible characters.")
        )
    found = [firm for firm in accounts.firms(session) if firm.name == plain]
    if len(found) > 1:
        raise AccountError(
            fault_of(
                "firm", f"{len(found)} firms are called {plain}; let one of their owners invite."
            )
        )
    if found:
        return found[0].id
    if Role.OWNER not in person.roles:
        raise AccountError(
            fault_of(
                "roles",
                f"There is no firm {plain} yet, and its first person must be an owner: "
                "add --role owner, or write the name as it was written before.",
            )
        )
    firm = FirmAtRest(id=installation.new_id(), name=plain, address=None, phone=None, email=None)
    accounts.add_firm(session, firm, now=now)
    return firm.id


def _account(session: Session, email: str) -> Account:
    account = accounts.account_by_email(session, email.strip())
    if account is None:
        raise NotFoundError(
            f"Nobody signs in with {email}; `laidtrue person list` names everybody."
        )
    return account


def _listed(firm: FirmAtRest, account: Account) -> Listed:
    return Listed(
        firm=firm.name,
        key=account.key,
        name=account.name,
        email=account.email,
        roles=account.roles,
        has_second_factor=account.has_second_factor,
        ended_at=account.ended_at,
    )

"""A person's own account: what it holds, a new password, how pages look, and signing out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from qa.errors import AccountError
from qa.services.access import Actor, Role
from qa.services.confirming import Confirmation, account_of, confirm
from qa.services.passwords import hash_password, password_fault
from qa.services.typed_people import fault_of
from qa.services.vault import new_token
from qa.store import accounts, invitations, proving

if TYPE_CHECKING:
    from qa.services.installation import Installation


class Appearance(StrEnum):
    """How pages look to a person."""

    LIGHT = "light"
    DARK = "dark"
    AUTO = "auto"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnAccount:
    """What a person sees of their own account.

    Attributes:
        roles: all that were given, also one that waits for a second factor.
        passkeys: how many they have.
        has_authenticator: whether they have one.
        recovery_codes_left: how many they can still use.
    """

    name: str
    email: str
    firm: str
    roles: frozenset[Role]
    passkeys: int
    has_authenticator: bool
    recovery_codes_left: int
    appearance: Appearance


def own_account(installation: Installation, actor: Actor) -> OwnAccount:
    """What the actor's account holds."""
    account = account_of(installation, actor)
    with installation.store.reading() as session:
        firm = accounts.firm_by_id(session, account.firm_id)
        passkeys = proving.passkeys_of(session, account.id)
        codes = proving.recovery_codes_left(session, account.id)
    return OwnAccount(
        name=account.name,
        email=account.email or "",
        firm=firm.name if firm else "",
        roles=frozenset(map(Role, account.roles)),
        passkeys=len(passkeys),
        has_authenticator=account.totp_secret is not None,
        recovery_codes_left=codes,
        appearance=Appearance(account.appearance),
    )


def change_password(
    installation: Installation, actor: Actor, *, former: str, password: str, now: datetime
) -> str:
    """Gives the actor a new password and ends their sessions; answers the mark that goes on.

    Raises:
        AccountError: the former password is wrong, or the new one is not taken.
        TooOftenError: too many tries.
    """
    account = confirm(installation, actor, Confirmation(password=former), now=now)
    fault = password_fault(password, email=account.email or "", name=account.name)
    if fault:
        raise AccountError(fault_of("new_password", fault))
    mark, password_hash = new_token(), hash_password(password)
    with installation.store.writing() as session:
        accounts.set_password(session, account.id, password_hash)
        accounts.set_session_mark(session, account.id, mark)
        invitations.end_password_links(session, account.id, now=now)
    return mark


def sign_out_everywhere(installation: Installation, actor: Actor) -> None:
    """Ends every session of the actor, this one too."""
    with installation.store.writing() as session:
        accounts.set_session_mark(session, actor.person_id, new_token())


def choose_appearance(installation: Installation, actor: Actor, appearance: Appearance) -> None:
    """Keeps how pages look to the actor, for every phone that they sign in on."""
    with installation.store.writing() as session:
        accounts.set_appearance(session, actor.person_id, appearance)

"""That it is still the person themselves, before the ways into their account are changed.

A phone that lies open on a van's seat is signed in; it must not be enough to lock its owner out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from qa.errors import AccountError, NotSignedInError, Problem
from qa.services.access import Actor
from qa.services.passwords import is_password
from qa.services.throttling import PASSWORD_OF_ACCOUNT, Counted, forget_tries, take_try
from qa.store import accounts
from qa.store.accounts import Account

if TYPE_CHECKING:
    from qa.services.installation import Installation

FRESH_FOR = timedelta(minutes=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """What confirms that it is the person themselves: a sign-in just now, or the password again.

    Attributes:
        password: as it was typed, or nothing.
        proven_at: when the session was signed in; None where that is not known.
    """

    password: str = field(default="", repr=False)
    proven_at: datetime | None = None

    def is_fresh(self, now: datetime) -> bool:
        """Whether the sign-in is so recent that no password need be typed."""
        return self.proven_at is not None and now - self.proven_at < FRESH_FOR


def confirm(
    installation: Installation, actor: Actor, confirmation: Confirmation, *, now: datetime
) -> Account:
    """The actor's account, where it is confirmed that it is they.

    Raises:
        AccountError: the password is missing or wrong; of the field account.password.
        TooOftenError: too many tries.
    """
    account = account_of(installation, actor)
    if confirmation.is_fresh(now):
        return account
    counted = Counted(limit=PASSWORD_OF_ACCOUNT, subject=account.email or account.id)
    take_try(installation, (counted,), now=now)
    if not is_password(account.password_hash, confirmation.password):
        raise wrong_password()
    forget_tries(installation, counted, now=now)
    return account


def account_of(installation: Installation, actor: Actor) -> Account:
    """The actor's account.

    Raises:
        NotSignedInError: it has ended meanwhile.
    """
    with installation.store.reading() as session:
        account = accounts.account_by_id(session, actor.person_id)
    if account is None or account.ended_at is not None:
        raise NotSignedInError("This account has ended.")
    return account


def wrong_password() -> AccountError:
    """What is said where the password typed again is not the account's."""
    return AccountError(
        Problem(
            place="account",
            field="account.password",
            sentence="This is not the password of your account. Type it again.",
        )
    )

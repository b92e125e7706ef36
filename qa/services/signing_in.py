"""Signing in: from what somebody types to a session, and from a session to who acts.

A session carries a person's mark and nothing else. The mark changes with the password, the roles,
the second factor and the end of the employment, so that every session of before ends everywhere.

Whatever is wrong with an e-mail or a password is answered in the same way and as slowly, so that
nobody learns who has an account here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from qa.errors import NotSignedInError
from qa.services.access import ASK_FOR_SECOND_FACTOR, Actor, Role
from qa.services.authenticators import is_right_code
from qa.services.passwords import hash_password, is_out_of_date, is_password
from qa.services.recovery import is_recovery_code
from qa.services.throttling import (
    CODE_OF_ACCOUNT,
    PASSWORD_OF_ACCOUNT,
    SIGN_IN_FROM_ADDRESS,
    Counted,
    forget_tries,
    from_address,
    take_try,
)
from qa.store import accounts
from qa.store.accounts import Account

if TYPE_CHECKING:
    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What has been proven of who somebody is.

    Attributes:
        session_mark: of the account; a session that carries it is signed in, so it is given out
            only where `asks_for_code` and `asks_for_passkey` are false.
        asks_for_code: whether a code of the authenticator is still asked for.
        asks_for_passkey: whether a passkey will do.
        appearance: "light", "dark" or "auto".
    """

    session_mark: str = field(repr=False)
    asks_for_code: bool
    asks_for_passkey: bool
    appearance: str

    @property
    def is_enough(self) -> bool:
        """Whether nothing more is asked for."""
        return not (self.asks_for_code or self.asks_for_passkey)


def actor_of(installation: Installation, session_mark: str, *, now: datetime) -> Actor | None:
    """Who acts in a session; nobody where the session has ended.

    Args:
        installation: where.
        session_mark: what the session carries.
        now: the moment of the request.
    """
    account = _account_of(installation, session_mark, now=now)
    return None if account is None else acting(account)


def acting(account: Account) -> Actor:
    """The person with the roles that are in force for them."""
    roles = frozenset(map(Role, account.roles))
    owes = bool(roles & ASK_FOR_SECOND_FACTOR) and not account.has_second_factor
    return Actor(
        firm_id=account.firm_id,
        person_id=account.id,
        key=account.key,
        name=account.name,
        roles=roles - ASK_FOR_SECOND_FACTOR if owes else roles,
        owes_second_factor=owes,
    )


def prove_by_password(
    installation: Installation, email: str, password: str, *, address: str, now: datetime
) -> Proof | None:
    """The first proof: e-mail and password; None where they do not fit together.

    Args:
        installation: where.
        email: as it was typed.
        password: as it was typed.
        address: the network address that it comes from.
        now: the moment.

    Raises:
        TooOftenError: too many tries for this e-mail, or from this address.
    """
    known_as = email.strip().lower()
    of_account = Counted(limit=PASSWORD_OF_ACCOUNT, subject=known_as)
    from_here = from_address(SIGN_IN_FROM_ADDRESS, address)
    take_try(installation, (of_account, from_here), now=now)
    with installation.store.reading() as session:
        account = accounts.account_by_email(session, known_as)
    if not is_password(account.password_hash if account else None, password) or account is None:
        return None
    forget_tries(installation, of_account, also_give_back=(from_here,), now=now)
    if is_out_of_date(account.password_hash):
        _renew_hash(installation, account, password)
    return Proof(
        session_mark=account.session_mark,
        asks_for_code=account.totp_secret is not None,
        asks_for_passkey=account.has_passkey,
        appearance=account.appearance,
    )


def prove_by_code(
    installation: Installation, session_mark: str, code: str, *, now: datetime
) -> bool:
    """The second proof: a code of the authenticator, or one of the recovery codes.

    Args:
        installation: where.
        session_mark: of the first proof.
        code: as it was typed, with or without blanks.
        now: the moment.

    Raises:
        NotSignedInError: the first proof holds no longer.
        TooOftenError: too many wrong codes for this account.
    """
    account = _account_of(installation, session_mark, now=now)
    if account is None:
        raise NotSignedInError("Too much has changed since your password was read. Sign in again.")
    counted = Counted(limit=CODE_OF_ACCOUNT, subject=account.id)
    take_try(installation, (counted,), now=now)
    with installation.store.writing() as session:
        right = is_right_code(installation, session, account, code, now=now) or is_recovery_code(
            installation, session, account.id, code, now=now
        )
    if right:
        forget_tries(installation, counted, now=now)
    return right


def _account_of(installation: Installation, session_mark: str, *, now: datetime) -> Account | None:
    with installation.store.reading() as session:
        account = accounts.account_by_mark(session, session_mark)
    if account is None or (account.ended_at is not None and account.ended_at <= now):
        return None
    return account


def _renew_hash(installation: Installation, account: Account, password: str) -> None:
    renewed = hash_password(password)
    with installation.store.writing() as session:
        accounts.renew_hash(session, account.id, old=account.password_hash, new=renewed)

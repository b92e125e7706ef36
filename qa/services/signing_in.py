"""Signing in: from what somebody types to a session, and from a session to who acts.

A session carries a person's mark and nothing else. The mark changes with the password, the roles,
the second factor and the end of the employment, so that every session of before ends everywhere.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from qa.services.access import Actor, Role
from qa.store import accounts
from qa.store.accounts import Account

if TYPE_CHECKING:
    from qa.services.installation import Installation

ASK_FOR_SECOND_FACTOR = frozenset({Role.SUPERVISOR})
"""Roles that are in force only for people who have a second factor."""


def actor_of(installation: Installation, session_mark: str, *, now: datetime) -> Actor | None:
    """Who acts in a session; nobody where the session has ended.

    Args:
        installation: where.
        session_mark: what the session carries.
        now: the moment of the request.
    """
    with installation.store.reading() as session:
        account = accounts.account_by_mark(session, session_mark)
    if account is None or (account.ended_at is not None and account.ended_at <= now):
        return None
    return acting(account)


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

"""People who can sign in, for tests; all of them have the same password, which is hashed once."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache

from qa.services.access import Actor, Role
from qa.services.installation import Installation
from qa.services.passwords import hash_password
from qa.services.signing_in import actor_of
from qa.services.vault import new_token
from qa.store import accounts
from qa.store.accounts import Account, FirmAtRest, NewAccount

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
PASSWORD = "wet deck nail gun"
HERE = "192.0.2.7"
"""An address for documentation (RFC 5737)."""


@cache
def password_hash() -> str:
    """The hash of the password that everybody has."""
    return hash_password(PASSWORD)


def add_firm(installation: Installation, name: str) -> str:
    """Adds an invented firm and answers its id."""
    firm = FirmAtRest(id=installation.new_id(), name=name, address=None, phone=None, email=None)
    with installation.store.writing() as session:
        accounts.add_firm(session, firm, now=NOON)
    return firm.id


def add_account(installation: Installation, firm_id: str, key: str, *roles: Role) -> Actor:
    """Adds a person with the e-mail KEY@firm.example, and answers them as they act."""
    new = NewAccount(
        id=installation.new_id(),
        firm_id=firm_id,
        key=key,
        name=f"{key.title()} Sample",
        email=f"{key}@firm.example",
        roles=roles,
        password_hash=password_hash(),
        session_mark=new_token(),
    )
    with installation.store.writing() as session:
        accounts.add_account(session, new, now=NOON)
    return acting(installation, firm_id, key)


def acting(installation: Installation, firm_id: str, key: str) -> Actor:
    """The person as they act now."""
    mark = account(installation, firm_id, key).session_mark
    actor = actor_of(installation, mark, now=NOON)
    assert actor is not None
    return actor


def account(installation: Installation, firm_id: str, key: str) -> Account:
    """The account as the database holds it."""
    with installation.store.reading() as session:
        found = accounts.account_by_key(session, firm_id, key)
    assert found is not None
    return found

"""Recovery codes, for the day on which phone and passkey are gone; kept as keyed digests only."""

from __future__ import annotations

import secrets
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.errors import AccountError, Problem
from qa.services.access import Actor
from qa.services.confirming import Confirmation, confirm
from qa.services.vault import keyed_digest
from qa.store import proving

if TYPE_CHECKING:
    from qa.services.installation import Installation

RECOVERY_CODES = 10
_GROUPS, _GROUP = 3, 4
_SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"
"""No sign that is read as another one; twelve of them make 59 bits."""
_PURPOSE = "recovery codes"


def renew_recovery_codes(
    installation: Installation, actor: Actor, confirmation: Confirmation, *, now: datetime
) -> tuple[str, ...]:
    """New recovery codes in the place of all former ones; they are shown this once.

    Raises:
        AccountError: the password is wrong, or there is no second factor that they could replace.
    """
    account = confirm(installation, actor, confirmation, now=now)
    if not account.has_second_factor:
        raise AccountError(
            Problem(
                place="account",
                field="account.password",
                sentence="Set up a passkey or an authenticator first.",
            )
        )
    with installation.store.writing() as session:
        return keep_new_codes(installation, session, account.id)


def recovery_codes_left(installation: Installation, actor: Actor) -> int:
    """How many recovery codes the actor can still use."""
    with installation.store.reading() as session:
        return proving.recovery_codes_left(session, actor.person_id)


def is_recovery_code(
    installation: Installation, session: Session, person_id: str, code: str, *, now: datetime
) -> bool:
    """Whether it is a recovery code of the person's; it is used up by that."""
    digest = _code_digest(installation, person_id, code)
    return proving.use_recovery_code(session, person_id, digest, now=now)


def keep_new_codes(installation: Installation, session: Session, person_id: str) -> tuple[str, ...]:
    """New recovery codes in the place of all former ones."""
    codes = tuple(_new_code() for _ in range(RECOVERY_CODES))
    digests = tuple(_code_digest(installation, person_id, code) for code in codes)
    proving.keep_recovery_codes(session, person_id, digests)
    return codes


def _new_code() -> str:
    groups = ("".join(secrets.choice(_SIGNS) for _ in range(_GROUP)) for _ in range(_GROUPS))
    return "-".join(groups)


def _code_digest(installation: Installation, person_id: str, code: str) -> str:
    plain = "".join(sign for sign in code.casefold() if sign.isalnum())
    return keyed_digest(installation.seal_key, f"{person_id} {plain}", purpose=_PURPOSE)

"""What every change of the second factor brings with it, be it a passkey or an authenticator.

All sessions end but the one in which it was changed; recovery codes come with the first second
factor and go with the last; a role that asks for a second factor is not left without one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.errors import NotAllowedError
from qa.services.access import ASK_FOR_SECOND_FACTOR, Role
from qa.services.recovery import keep_new_codes
from qa.services.vault import new_token
from qa.store import accounts, proving

if TYPE_CHECKING:
    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewed:
    """What follows from a change of the second factor.

    Attributes:
        session_mark: of the one session that goes on; all others have ended.
        recovery_codes: made at the first second factor, shown this once; empty otherwise.
    """

    session_mark: str = field(repr=False)
    recovery_codes: tuple[str, ...] = field(default=(), repr=False)


def renew(installation: Installation, session: Session, person_id: str) -> Renewed:
    """Ends all sessions after a change of the second factor, and sees to recovery codes.

    They are made with the first second factor and go with the last one.
    """
    mark = new_token()
    accounts.set_session_mark(session, person_id, mark)
    account = accounts.account_by_id(session, person_id)
    codes: tuple[str, ...] = ()
    if account is None or not account.has_second_factor:
        proving.keep_recovery_codes(session, person_id, ())
    elif proving.recovery_codes_left(session, person_id) == 0:
        codes = keep_new_codes(installation, session, person_id)
    return Renewed(session_mark=mark, recovery_codes=codes)


def refuse_to_go_without(session: Session, person_id: str) -> None:
    """Refuses a change that leaves somebody without the second factor that a role asks for.

    Raises:
        NotAllowedError: the person's role asks for one, and there is none any more.
    """
    account = accounts.account_by_id(session, person_id)
    if account is None or account.has_second_factor:
        return
    if ASK_FOR_SECOND_FACTOR & frozenset(map(Role, account.roles)):
        raise NotAllowedError(
            "A supervisor needs a passkey or an authenticator. Set up the new one first, and then "
            "remove this one. Nothing was changed."
        )

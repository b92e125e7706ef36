"""The invented firm's people in an installation, so that the site can be tried out as each of them.

Nothing of their ways in is fixed: passwords and the supervisor's authenticator are drawn anew each
time and answered once. The supervisor's secret is answered too, since there is no phone to hold it;
`laidtrue person code SECRET` shows its codes and opens no database.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

import pyotp
from sqlalchemy.orm import Session

from qa.demo.opening import CREW, THE_JOB
from qa.services.access import ASK_FOR_SECOND_FACTOR, Role
from qa.services.authenticators import seal_secret
from qa.services.passwords import hash_password
from qa.services.vault import new_token
from qa.store import accounts
from qa.store.accounts import Account, FirmAtRest, NewAccount

if TYPE_CHECKING:
    from qa.services.installation import Installation

_LETTERS = "bcdfghjkmnpqrstvwxz"
"""No vowels, so that no word comes out; sixteen of them make 67 bits."""
_BEFORE_ANY_CODE = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoLogin:
    """How to sign in as one of the invented people.

    Attributes:
        key: the name by which the demo job's entries call them.
        secret: of their authenticator, in groups of four; None where their role asks for none.
    """

    key: str
    name: str
    roles: tuple[Role, ...]
    email: str
    password: str = field(repr=False)
    secret: str | None = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Invented:
    key: str
    name: str
    roles: tuple[Role, ...]
    competence: str | None

    @property
    def email(self) -> str:
        return f"{self.key}@level-and-lap.example"


_PEOPLE = (
    *(
        _Invented(
            key=one.person,
            name=str(one.name),
            roles=(Role(one.role),),
            competence=one.competence,
        )
        for one in CREW
    ),
    _Invented(key="ona", name="Ona Pretend", roles=(Role.OFFICE,), competence=None),
    _Invented(key="ives", name="Ives Madeup", roles=(Role.OWNER,), competence=None),
)


def make_people(installation: Installation, *, now: datetime) -> tuple[DemoLogin, ...]:
    """Makes the invented firm and its people, or gives those that are there new ways in.

    Args:
        installation: where.
        now: the moment.

    Returns:
        How to sign in as each of them; this is the only time that it can be read.
    """
    logins = tuple(_login(invented) for invented in _PEOPLE)
    hashes = tuple(hash_password(login.password) for login in logins)
    with installation.store.writing() as session:
        firm_id = _firm_id(installation, session, now=now)
        return tuple(
            login
            for login, invented, password_hash in zip(logins, _PEOPLE, hashes, strict=True)
            if _is_let_in(installation, session, firm_id, invented, login, password_hash, now=now)
        )


def demo_firm_id(session: Session) -> str | None:
    """Id of the invented firm, or None where it is not there."""
    return next(
        (firm.id for firm in accounts.firms(session) if firm.name == THE_JOB.firm.name), None
    )


def _is_let_in(
    installation: Installation,
    session: Session,
    firm_id: str,
    invented: _Invented,
    login: DemoLogin,
    password_hash: str,
    *,
    now: datetime,
) -> bool:
    """Gives one person their way in; False where somebody has ended their employment."""
    account = accounts.account_by_key(session, firm_id, invented.key)
    if account is None:
        person_id = _add(installation, session, firm_id, invented, password_hash, now=now)
    elif account.ended_at is not None:
        return False
    else:
        person_id = _renew(session, account, invented, password_hash)
    sealed = _sealed(installation, person_id, login)
    step = _BEFORE_ANY_CODE if sealed else None
    accounts.set_authenticator(session, person_id, sealed, step=step)
    return True


def _sealed(installation: Installation, person_id: str, login: DemoLogin) -> bytes | None:
    if login.secret is None:
        return None
    return seal_secret(installation, person_id, "".join(login.secret.split()))


def _firm_id(installation: Installation, session: Session, *, now: datetime) -> str:
    held = demo_firm_id(session)
    if held is not None:
        return held
    firm = FirmAtRest(
        id=installation.new_id(),
        name=THE_JOB.firm.name,
        address=THE_JOB.firm.address,
        phone=THE_JOB.firm.phone,
        email=THE_JOB.firm.email,
    )
    accounts.add_firm(session, firm, now=now)
    return firm.id


def _add(
    installation: Installation,
    session: Session,
    firm_id: str,
    invented: _Invented,
    password_hash: str,
    *,
    now: datetime,
) -> str:
    new = NewAccount(
        id=installation.new_id(),
        firm_id=firm_id,
        key=invented.key,
        name=invented.name,
        email=invented.email,
        roles=invented.roles,
        competence=invented.competence,
        password_hash=password_hash,
        session_mark=new_token(),
    )
    accounts.add_account(session, new, now=now)
    return new.id


def _renew(session: Session, account: Account, invented: _Invented, password_hash: str) -> str:
    accounts.set_password(session, account.id, password_hash)
    accounts.set_roles(session, account.id, invented.roles)
    accounts.set_session_mark(session, account.id, new_token())
    return account.id


def _login(invented: _Invented) -> DemoLogin:
    asks = ASK_FOR_SECOND_FACTOR & frozenset(invented.roles)
    secret = pyotp.random_base32() if asks else None
    return DemoLogin(
        key=invented.key,
        name=invented.name,
        roles=invented.roles,
        email=invented.email,
        password="-".join("".join(secrets.choice(_LETTERS) for _ in range(4)) for _ in range(4)),
        secret=" ".join(secret[at : at + 4] for at in range(0, len(secret), 4)) if secret else None,
    )

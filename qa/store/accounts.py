"""Firms and people in the database: questions answered as values, and the changes there are.

Nothing here decides who may do what; that is for the services.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import ColumnElement, exists, select, update
from sqlalchemy.orm import Session

from qa.store.columns import columns_of, value_of
from qa.store.tables import FirmRow, PasskeyRow, PersonRow


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmAtRest:
    """A firm as the database holds it."""

    id: str
    name: str
    address: str | None
    phone: str | None
    email: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """A person as the database holds them.

    Attributes:
        roles: sorted words.
        email: None once they have left.
        session_mark: see the table; a session that carries another one has ended.
        totp_secret: sealed; None where there is no authenticator.
        has_passkey: whether they have at least one.
    """

    id: str
    firm_id: str
    key: str
    name: str
    email: str | None
    roles: tuple[str, ...]
    competence: str | None
    password_hash: str = field(repr=False)
    session_mark: str = field(repr=False)
    totp_secret: bytes | None = field(repr=False)
    totp_step: int | None
    has_passkey: bool
    appearance: str
    created_at: datetime
    ended_at: datetime | None

    @property
    def has_second_factor(self) -> bool:
        """Whether they can prove themselves by more than a password."""
        return self.has_passkey or self.totp_secret is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class NewAccount:
    """What a new account is made of; the rest is as it is for everyone at first."""

    id: str
    firm_id: str
    key: str
    name: str
    email: str
    roles: tuple[str, ...]
    competence: str | None = None
    password_hash: str = field(repr=False)
    session_mark: str = field(repr=False)


_HAS_PASSKEY = exists().where(PasskeyRow.person_id == PersonRow.id).label("has_passkey")
_ACCOUNTS = select(PersonRow, _HAS_PASSKEY)


def add_firm(session: Session, firm: FirmAtRest, *, now: datetime) -> None:
    """Adds a firm."""
    session.add(FirmRow(**columns_of(firm), created_at=now))


def set_firm(session: Session, firm: FirmAtRest) -> None:
    """Changes how a firm is called and reached."""
    session.execute(update(FirmRow).where(FirmRow.id == firm.id).values(**columns_of(firm)))


def firm_by_id(session: Session, firm_id: str) -> FirmAtRest | None:
    """The firm of that id."""
    row = session.get(FirmRow, firm_id)
    return None if row is None else _firm(row)


def firms(session: Session) -> tuple[FirmAtRest, ...]:
    """Every firm, by name."""
    rows = session.scalars(select(FirmRow).order_by(FirmRow.name, FirmRow.id))
    return tuple(_firm(row) for row in rows)


def hold_firm(session: Session, firm_id: str) -> None:
    """Keeps other writers from changing the firm's people until this transaction ends."""
    session.execute(select(FirmRow.id).where(FirmRow.id == firm_id).with_for_update())


def add_account(session: Session, new: NewAccount, *, now: datetime) -> None:
    """Adds a person."""
    columns = columns_of(new) | {"roles": " ".join(sorted(new.roles))}
    session.add(PersonRow(**columns, appearance="auto", created_at=now))
    session.flush()


def account_by_mark(session: Session, session_mark: str) -> Account | None:
    """Whose session carries that mark, also where they have left."""
    return _one(session, PersonRow.session_mark == session_mark)


def account_by_email(session: Session, email: str) -> Account | None:
    """Who signs in with that e-mail, in any firm."""
    return _one(session, PersonRow.email == email.lower(), PersonRow.ended_at.is_(None))


def account_by_id(session: Session, person_id: str) -> Account | None:
    """The person of that id, also where they have left."""
    return _one(session, PersonRow.id == person_id)


def account_by_key(session: Session, firm_id: str, key: str) -> Account | None:
    """The firm's person of that key, also where they have left."""
    return _one(session, PersonRow.firm_id == firm_id, PersonRow.key == key)


def accounts_of(session: Session, firm_id: str) -> tuple[Account, ...]:
    """The firm's people, those who have left at the end."""
    order = (PersonRow.ended_at.is_not(None), PersonRow.name, PersonRow.key)
    rows = session.execute(_ACCOUNTS.where(PersonRow.firm_id == firm_id).order_by(*order))
    return tuple(_account(row, has) for row, has in rows)


def set_password(session: Session, person_id: str, password_hash: str) -> None:
    """Keeps another hash of the password; sessions go on, unless their mark changes too."""
    _set(session, person_id, password_hash=password_hash)


def renew_hash(session: Session, person_id: str, *, old: str, new: str) -> None:
    """Keeps a newer hash of the same password, unless the password changed meanwhile."""
    session.execute(
        update(PersonRow)
        .where(PersonRow.id == person_id, PersonRow.password_hash == old)
        .values(password_hash=new)
    )


def set_session_mark(session: Session, person_id: str, session_mark: str) -> None:
    """Ends every session that carries the mark of before."""
    _set(session, person_id, session_mark=session_mark)


def set_roles(session: Session, person_id: str, roles: tuple[str, ...]) -> None:
    """Changes what they may do."""
    _set(session, person_id, roles=" ".join(sorted(roles)))


def set_appearance(session: Session, person_id: str, appearance: str) -> None:
    """Changes how pages look to them."""
    _set(session, person_id, appearance=appearance)


def set_authenticator(
    session: Session, person_id: str, sealed_secret: bytes | None, *, step: int | None
) -> None:
    """Keeps an authenticator's sealed secret and its last code's time step, or takes both away."""
    _set(session, person_id, totp_secret=sealed_secret, totp_step=step)


def take_step(session: Session, person_id: str, step: int) -> bool:
    """Takes a time step once; False where it, or a later one, was taken before."""
    taken = session.execute(
        update(PersonRow)
        .where(PersonRow.id == person_id, PersonRow.totp_step < step)
        .values(totp_step=step)
        .returning(PersonRow.id)
    )
    return taken.first() is not None


def set_competence(session: Session, person_id: str, competence: str | None) -> None:
    """Changes the words about what they can do."""
    _set(session, person_id, competence=competence)


def end_account(session: Session, person_id: str, *, session_mark: str, now: datetime) -> None:
    """Ends an account and frees its e-mail; who they are in the record stays."""
    _set(
        session,
        person_id,
        ended_at=now,
        email=None,
        password_hash="",
        session_mark=session_mark,
        totp_secret=None,
        totp_step=None,
    )


def _set(session: Session, person_id: str, **values: object) -> None:
    session.execute(update(PersonRow).where(PersonRow.id == person_id).values(**values))


def _one(session: Session, *conditions: ColumnElement[bool]) -> Account | None:
    found = session.execute(_ACCOUNTS.where(*conditions)).first()
    return None if found is None else _account(*found)


def _firm(row: FirmRow) -> FirmAtRest:
    return value_of(FirmAtRest, row)


def _account(row: PersonRow, has_passkey: bool) -> Account:
    roles = tuple(row.roles.split())
    return value_of(Account, row, roles=roles, has_passkey=bool(has_passkey))

"""Invitations in the database; of their tokens only digests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, CursorResult, select, update
from sqlalchemy.orm import Session

from qa.store.columns import columns_of, value_of
from qa.store.tables import InvitationRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Invitation:
    """An invitation as the database holds it.

    Attributes:
        person_id: whose password the link renews; None where it makes a new account.
        invited_by: None where it was made at the installation's own command line.
    """

    id: str
    firm_id: str
    token_hash: str
    email: str
    name: str
    roles: tuple[str, ...]
    person_id: str | None
    invited_by: str | None
    created_at: datetime
    expires_at: datetime


def add_invitation(session: Session, new: Invitation) -> None:
    """Adds an invitation."""
    columns = columns_of(new) | {"roles": " ".join(sorted(new.roles))}
    session.add(InvitationRow(**columns))
    session.flush()


def open_by_token(session: Session, token_hash: str, *, now: datetime) -> Invitation | None:
    """The invitation of that token, where it can still be accepted."""
    row = session.scalar(
        select(InvitationRow).where(InvitationRow.token_hash == token_hash, *_open(now))
    )
    return None if row is None else _invitation(row)


def open_by_id(session: Session, invitation_id: str, *, now: datetime) -> Invitation | None:
    """The invitation of that id, where it can still be accepted."""
    row = session.scalar(
        select(InvitationRow).where(InvitationRow.id == invitation_id, *_open(now))
    )
    return None if row is None else _invitation(row)


def open_in_firm(session: Session, firm_id: str, *, now: datetime) -> tuple[Invitation, ...]:
    """The firm's invitations that can still be accepted, the newest first."""
    rows = session.scalars(
        select(InvitationRow)
        .where(InvitationRow.firm_id == firm_id, *_open(now))
        .order_by(InvitationRow.created_at.desc(), InvitationRow.id)
    )
    return tuple(_invitation(row) for row in rows)


def use_invitation(session: Session, invitation_id: str, *, now: datetime) -> bool:
    """Uses an invitation up; False where somebody was quicker, or it has ended."""
    return _mark(session, InvitationRow.id == invitation_id, now=now, used_at=now) == 1


def end_invitation(session: Session, firm_id: str, invitation_id: str, *, now: datetime) -> bool:
    """Ends one of the firm's invitations; False where it is none that is open."""
    of_firm = InvitationRow.firm_id == firm_id
    return _mark(session, InvitationRow.id == invitation_id, of_firm, now=now, ended_at=now) == 1


def end_invitations_by(session: Session, person_id: str, *, now: datetime) -> None:
    """Ends what a person has invited to, and the links that renew their own password."""
    _mark(session, InvitationRow.invited_by == person_id, now=now, ended_at=now)
    end_password_links(session, person_id, now=now)


def end_password_links(session: Session, person_id: str, *, now: datetime) -> None:
    """Ends the links that renew a person's password."""
    _mark(session, InvitationRow.person_id == person_id, now=now, ended_at=now)


def end_invitations_to(session: Session, firm_id: str, email: str, *, now: datetime) -> None:
    """Ends the firm's open invitations to an e-mail; only the newest link shall work."""
    _mark(
        session, InvitationRow.firm_id == firm_id, InvitationRow.email == email,
        now=now, ended_at=now,
    )  # fmt: skip


def _open(now: datetime) -> tuple[ColumnElement[bool], ...]:
    return (
        InvitationRow.used_at.is_(None),
        InvitationRow.ended_at.is_(None),
        InvitationRow.expires_at > now,
    )


def _mark(
    session: Session, *conditions: ColumnElement[bool], now: datetime, **values: datetime
) -> int:
    result = session.execute(update(InvitationRow).where(*conditions, *_open(now)).values(**values))
    assert isinstance(result, CursorResult)
    return result.rowcount


def _invitation(row: InvitationRow) -> Invitation:
    return value_of(Invitation, row, roles=tuple(row.roles.split()))

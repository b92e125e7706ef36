"""Firms and the people who sign in: who they are, what they may do, how they prove it."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class FirmRow(Base):
    """A firm; everything else belongs to one."""

    __tablename__ = "firm"

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    name: Mapped[str]
    address: Mapped[str | None]
    phone: Mapped[str | None]
    email: Mapped[str | None]
    created_at: Mapped[datetime]


class PersonRow(Base):
    """One of a firm's people.

    Attributes:
        key: the name by which entries of the record call them; unique in the firm, never reused.
        email: lower case; unique in the installation, since it is what one signs in with. None once
            they have left, so that the address is free for the next firm they work for.
        roles: words joined by a blank, sorted.
        session_mark: random; a session that carries another one has ended. It changes with the
            password, the roles, the second factor and at the end of the employment.
        totp_secret: sealed by the installation's key; None where there is no authenticator.
        totp_step: the last time step that was accepted, so that a code works once.
        appearance: how pages look to them: "light", "dark", or "auto" for as the phone is set.
        ended_at: when they left; None while they may sign in.
    """

    __tablename__ = "person"
    __table_args__ = (UniqueConstraint("firm_id", "key"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    key: Mapped[str] = mapped_column(String(80))
    name: Mapped[str]
    email: Mapped[str | None] = mapped_column(unique=True)
    roles: Mapped[str]
    competence: Mapped[str | None]
    password_hash: Mapped[str]
    session_mark: Mapped[str] = mapped_column(unique=True)
    totp_secret: Mapped[bytes | None] = mapped_column(LargeBinary)
    totp_step: Mapped[int | None]
    appearance: Mapped[str] = mapped_column(String(5))
    created_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class PasskeyRow(Base):
    """A passkey of a person, by which they prove themselves without a password typed."""

    __tablename__ = "passkey"

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), index=True)
    credential_id: Mapped[bytes] = mapped_column(LargeBinary, unique=True)
    public_key: Mapped[bytes] = mapped_column(LargeBinary)
    sign_count: Mapped[int]
    name: Mapped[str]
    created_at: Mapped[datetime]
    used_at: Mapped[datetime | None]


class RecoveryCodeRow(Base):
    """A code for the day on which phone and passkey are gone; kept hashed, works once."""

    __tablename__ = "recovery_code"

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), index=True)
    code_hash: Mapped[str]
    used_at: Mapped[datetime | None]


class InvitationRow(Base):
    """An invitation by link; the link's token is kept hashed, works once, and ends.

    Attributes:
        person_id: whose password the link renews; None where it makes a new account.
        invited_by: None where it was made at the installation's own command line.
    """

    __tablename__ = "invitation"

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    email: Mapped[str]
    name: Mapped[str]
    roles: Mapped[str]
    person_id: Mapped[str | None] = mapped_column(ForeignKey("person.id"))
    invited_by: Mapped[str | None] = mapped_column(ForeignKey("person.id"))
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    used_at: Mapped[datetime | None]
    ended_at: Mapped[datetime | None]

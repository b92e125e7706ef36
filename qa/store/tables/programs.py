"""Other programs: the tokens by which they act for a person."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class ApiTokenRow(Base):
    """A token by which a program acts as a person; kept hashed, it ends by itself or by hand.

    Attributes:
        name: by which the person knows the program.
        used_at: the last use, to the minute; None before the first.
    """

    __tablename__ = "api_token"

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"), index=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    name: Mapped[str]
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    used_at: Mapped[datetime | None]

"""Other programs: the tokens by which they act for a person, and the files that they write."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, UniqueConstraint
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


class CsvLayoutRow(Base):
    """How a firm reads the files of one logger, known again by their headings.

    Attributes:
        fingerprint: SHA-256 of the line of headings.
        layout: as `qa.services.logger_layout.CsvLayout.text` writes it.
    """

    __tablename__ = "csv_layout"
    __table_args__ = (
        UniqueConstraint("firm_id", "fingerprint", name="uq_csv_layout_firm_id_fingerprint"),
    )

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    fingerprint: Mapped[str] = mapped_column(String(64))
    layout: Mapped[str]
    kept_at: Mapped[datetime]

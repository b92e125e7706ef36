"""The ledger: jobs, their entries in order, the personal values apart, and the originals."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, String, Text, UniqueConstraint, false, text
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class JobRow(Base):
    """A job as lists show it: a summary of its entries, but for `id`, `firm_id` and `opening_id`.

    Attributes:
        id: the installation's own; the same folder may be taken in by two firms.
        opening_id: id of the first entry, by which starting a job twice has the effect of once.
        entries: how many there are; the next entry's `seq`.
        head: hash of the last entry.
        address_entry, address_field: where the disclosure of the address in force stands, so that
            no personal value is kept in a second place.
        stage: the stage in hand: the first that no installer has signed off; None when all are.
        outside: findings that stand in `open_finding`.
        told: how many entries a handover pack must cover to tell everything; what happens after
            the handover is not among them.
        complete: whether every stage is signed off, and released where it must be.
        pack_due: complete, and no handover pack that was made covers what is told.
        next_look: the day on which somebody is next to look at the roof, or None.
        look_told: the day of a look of which the firm was told by e-mail; no summary.
    """

    __tablename__ = "job"
    __table_args__ = (
        UniqueConstraint("firm_id", "reference"),
        UniqueConstraint("firm_id", "opening_id"),
        Index("ix_job_firm_id_last_received_at", "firm_id", "last_received_at"),
        # Holds the few that are due: a job that is not costs nothing when it grows.
        Index(
            "ix_job_firm_id_pack_due",
            "firm_id",
            "last_received_at",
            sqlite_where=text("pack_due IS 1"),
            postgresql_where=text("pack_due IS true"),
        ),
        Index("ix_job_next_look", "next_look"),
    )

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    opening_id: Mapped[str] = mapped_column(String(36))
    reference: Mapped[str] = mapped_column(String(80))
    title: Mapped[str]
    specification: Mapped[str]
    time_zone: Mapped[str]
    entries: Mapped[int]
    head: Mapped[str] = mapped_column(String(64))
    opened_at: Mapped[datetime]
    last_received_at: Mapped[datetime]
    address_entry: Mapped[str | None] = mapped_column(String(36))
    address_field: Mapped[str | None]
    stage: Mapped[str | None]
    outside: Mapped[int]
    told: Mapped[int] = mapped_column(server_default="0")
    complete: Mapped[bool] = mapped_column(server_default=false())
    pack_due: Mapped[bool] = mapped_column(server_default=false())
    next_look: Mapped[date | None]
    look_told: Mapped[date | None]


class EntryRow(Base):
    """One entry as it stands in the record. Rows are only ever inserted; triggers see to it.

    Attributes:
        written: the whole entry as canonical JSON, with what the ledger added.
    """

    __tablename__ = "entry"
    __table_args__ = (UniqueConstraint("job_id", "seq"),)

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    seq: Mapped[int]
    kind: Mapped[str] = mapped_column(String(20))
    by: Mapped[str] = mapped_column(String(80))
    at: Mapped[datetime]
    received_at: Mapped[datetime]
    prev: Mapped[str] = mapped_column(String(64))
    hash: Mapped[str] = mapped_column(String(64))
    written: Mapped[str] = mapped_column(Text)


class DisclosureRow(Base):
    """A personal value of an entry with its salt. It may be deleted, never changed."""

    __tablename__ = "disclosure"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    entry_id: Mapped[str] = mapped_column(String(36), primary_key=True)
    field: Mapped[str] = mapped_column(String(200), primary_key=True)
    salt: Mapped[str] = mapped_column(String(24))
    value: Mapped[Any] = mapped_column(JSON)


class OriginalRow(Base):
    """An original photograph that a firm has handed in; its bytes lie in the blob store."""

    __tablename__ = "original"

    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"), primary_key=True)
    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    bytes: Mapped[int]
    media_type: Mapped[str]
    received_at: Mapped[datetime]


class PhotoRow(Base):
    """Which job shows which original, by the entry that names it; a summary of photo entries."""

    __tablename__ = "photo"
    __table_args__ = (Index("ix_photo_job_id_sha256", "job_id", "sha256"),)

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    entry_id: Mapped[str] = mapped_column(String(36), primary_key=True)
    file: Mapped[str]
    sha256: Mapped[str] = mapped_column(String(64))

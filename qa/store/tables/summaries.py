"""What lists show, kept beside the entries and rebuildable from them."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class OpenFindingRow(Base):
    """Something outside its limits that is neither put right nor conceded.

    An empty text stands for what a finding does not name, so that the key is whole.
    """

    __tablename__ = "open_finding"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    check: Mapped[str] = mapped_column(String(80), primary_key=True)
    stage: Mapped[str] = mapped_column(String(20), primary_key=True)
    area: Mapped[str] = mapped_column(String(80), primary_key=True)
    bay: Mapped[str] = mapped_column(String(16), primary_key=True)
    subject: Mapped[str] = mapped_column(String(80), primary_key=True)
    entry_id: Mapped[str | None] = mapped_column(String(36))
    exact: Mapped[str]


class LotUsedRow(Base):
    """A batch that a job holds."""

    __tablename__ = "lot_used"
    __table_args__ = (Index("ix_lot_used_batch_number", "batch_number"),)

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    lot: Mapped[str] = mapped_column(String(80), primary_key=True)
    material: Mapped[str] = mapped_column(String(20))
    product: Mapped[str]
    batch_number: Mapped[str]
    use_by: Mapped[date | None]


class ReleaseWaitingRow(Base):
    """A stage that an installer has signed off and that waits for a supervisor."""

    __tablename__ = "release_waiting"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    stage: Mapped[str] = mapped_column(String(20), primary_key=True)
    signed_at: Mapped[datetime]
    signed_by: Mapped[str] = mapped_column(String(80))

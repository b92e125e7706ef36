"""What lists show, kept beside the entries and rebuildable from them."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import BY_CODE_POINT, Base


class OpenFindingRow(Base):
    """Something outside its limits that is neither put right nor conceded.

    An empty text stands for what a finding does not name, so that the key is whole.

    Attributes:
        late: whether it says that an entry was recorded late, not that the roof is outside.
        noted_at: when what it rests on arrived.
    """

    __tablename__ = "open_finding"
    __table_args__ = (
        Index("ix_open_finding_firm_id_late_noted_at", "firm_id", "late", "noted_at"),
        Index("ix_open_finding_firm_id_check_noted_at", "firm_id", "check", "noted_at"),
    )

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    check: Mapped[str] = mapped_column(String(80), primary_key=True)
    stage: Mapped[str] = mapped_column(String(20), primary_key=True)
    area: Mapped[str] = mapped_column(String(80), primary_key=True)
    bay: Mapped[str] = mapped_column(String(16), primary_key=True)
    subject: Mapped[str] = mapped_column(String(80), primary_key=True)
    entry_id: Mapped[str | None] = mapped_column(String(36))
    exact: Mapped[str]
    late: Mapped[bool]
    noted_at: Mapped[datetime]
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))


class LotUsedRow(Base):
    """A batch that a job holds.

    Attributes:
        batch_key: the batch number as it is looked for, whatever the case it was typed in.
        seq: place in the record of the entry that registered it.
    """

    __tablename__ = "lot_used"
    __table_args__ = (
        Index("ix_lot_used_firm_id_batch_key_job_id", "firm_id", "batch_key", "job_id"),
    )

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    lot: Mapped[str] = mapped_column(String(80), primary_key=True)
    material: Mapped[str] = mapped_column(String(20))
    product: Mapped[str]
    batch_number: Mapped[str]
    use_by: Mapped[date | None]
    batch_key: Mapped[str] = mapped_column(BY_CODE_POINT)
    seq: Mapped[int]
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))


class LotLaidRow(Base):
    """Where a batch went: one row for each entry and lot that it names.

    Attributes:
        mix: key of the mix, or nothing where it was used as it came.
        bays: keys joined by blanks, or nothing where none was named.
    """

    __tablename__ = "lot_laid"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    lot: Mapped[str] = mapped_column(String(80), primary_key=True)
    entry_id: Mapped[str] = mapped_column(String(36), primary_key=True)
    stage: Mapped[str] = mapped_column(String(20))
    area: Mapped[str] = mapped_column(String(80))
    mix: Mapped[str] = mapped_column(String(80))
    bays: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime]


class ReleaseWaitingRow(Base):
    """A stage that an installer has signed off and that waits for a supervisor."""

    __tablename__ = "release_waiting"
    __table_args__ = (
        Index("ix_release_waiting_firm_id_signed_at", "firm_id", "signed_at", "job_id"),
    )

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    stage: Mapped[str] = mapped_column(String(20), primary_key=True)
    signed_at: Mapped[datetime]
    signed_by: Mapped[str] = mapped_column(String(80))
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))


class JobWordRow(Base):
    """A word by which a job is found: of its reference, title, address, client or crew.

    Words of personal values go with their values: an erasure makes a job's words again.
    """

    __tablename__ = "job_word"
    __table_args__ = (Index("ix_job_word_firm_id_word_job_id", "firm_id", "word", "job_id"),)

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    word: Mapped[str] = mapped_column(BY_CODE_POINT, primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))


class JobFactsRow(Base):
    """What a job has to tell beside others, as of the last time when it was judged whole.

    Attributes:
        facts: of `qa.assess.fact.JobFacts`, as JSON.
    """

    __tablename__ = "job_facts"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    facts: Mapped[str] = mapped_column(Text)

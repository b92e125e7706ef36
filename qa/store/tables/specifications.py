"""Specifications of firms: versions that a job may be judged by, drafts of them, and trial runs."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class SpecificationRow(Base):
    """One version of a firm's specification. Rows are only ever inserted; triggers see to it.

    Attributes:
        key, version: together its name as jobs pin it, "our-limits/2".
        content: its file, TOML in UTF-8, byte by byte.
        sha256: digest of the content, which packs print.
        made_by: who made it, or took in the folder that it came with.
        note: why it was made, in the words of whoever made it.
        came_with: reference of the job whose folder brought it along; None where the firm made it.
    """

    __tablename__ = "specification"

    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"), primary_key=True)
    key: Mapped[str] = mapped_column(String(60), primary_key=True)
    version: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    content: Mapped[bytes] = mapped_column(LargeBinary)
    sha256: Mapped[str] = mapped_column(String(64))
    made_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]
    note: Mapped[str]
    came_with: Mapped[str | None]


class SpecificationDraftRow(Base):
    """A version in the making: one of a firm for each version that it comes from.

    Attributes:
        came_from: name of the version that it was begun from.
        standing: the same while it is open, None once it was published or thrown away; unique, so
            that two people who begin at once work on one draft.
        content: its file as it stands; what it holds could be published at any time.
        revision: counts its changes.
        published: name of the version that it became, or None.
    """

    __tablename__ = "specification_draft"
    __table_args__ = (UniqueConstraint("firm_id", "standing"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    came_from: Mapped[str] = mapped_column(String(80))
    standing: Mapped[str | None] = mapped_column(String(80))
    content: Mapped[bytes] = mapped_column(LargeBinary)
    revision: Mapped[int]
    begun_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    begun_at: Mapped[datetime]
    ended_by: Mapped[str | None] = mapped_column(ForeignKey("person.id"))
    ended_at: Mapped[datetime | None]
    published: Mapped[str | None] = mapped_column(String(80))


class SpecificationChangeRow(Base):
    """One change of a draft: who, when, and what in words."""

    __tablename__ = "specification_change"

    draft_id: Mapped[str] = mapped_column(ForeignKey("specification_draft.id"), primary_key=True)
    revision: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    path: Mapped[str]
    told: Mapped[str]
    changed_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    changed_at: Mapped[datetime]


class SpecificationTrialRow(Base):
    """A trial run of a file over a firm's jobs, kept by the digest of the file.

    Attributes:
        content: the file that is tried.
        after: id of the last job that was judged, or None before the first.
        jobs_of: how many jobs the firm had when it was asked for.
        findings: how many findings would change in the jobs judged so far.
        turns: how many findings would go from one state into another, as JSON.
        touched: in how many jobs something would change, or which cannot be judged by it.
        fault: why it was given up, or None.
    """

    __tablename__ = "specification_trial"
    __table_args__ = (UniqueConstraint("firm_id", "sha256"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    sha256: Mapped[str] = mapped_column(String(64))
    content: Mapped[bytes] = mapped_column(LargeBinary)
    asked_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    asked_at: Mapped[datetime]
    after: Mapped[str | None] = mapped_column(String(36))
    jobs_done: Mapped[int]
    jobs_of: Mapped[int]
    findings: Mapped[int]
    touched: Mapped[int]
    turns: Mapped[str] = mapped_column(server_default="[]")
    finished_at: Mapped[datetime | None]
    fault: Mapped[str | None]


class TriedJobRow(Base):
    """A job of which a trial run would change something; the others leave no row.

    Attributes:
        pinned: name of the version that the job keeps.
        changes: what would change, as JSON.
        fault: why the job cannot be judged by the file that is tried, or nothing.
    """

    __tablename__ = "specification_trial_job"

    trial_id: Mapped[str] = mapped_column(ForeignKey("specification_trial.id"), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    pinned: Mapped[str] = mapped_column(String(80))
    changes: Mapped[str]
    fault: Mapped[str]

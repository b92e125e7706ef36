"""Work in the background: the outbox, packs being made, and photos arriving in pieces."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class OutboxRow(Base):
    """One task, written in the transaction that made it needful.

    Attributes:
        task: what to do; `subject` names what it is done to, by id only.
        fence: counts the leases; whoever holds an older one can no longer finish the task.
        lease_until: until when a worker has it; None where none has.
        done_at: set in the transaction of the effect itself.
    """

    __tablename__ = "outbox"
    __table_args__ = (Index("ix_outbox_done_at_due_at", "done_at", "due_at"),)

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=True)
    task: Mapped[str] = mapped_column(String(40))
    subject: Mapped[str]
    created_at: Mapped[datetime]
    due_at: Mapped[datetime]
    attempts: Mapped[int]
    fence: Mapped[int]
    lease_until: Mapped[datetime | None]
    done_at: Mapped[datetime | None]
    gave_up_at: Mapped[datetime | None]
    last_fault: Mapped[str | None]


class PackRow(Base):
    """A pack of a job: waiting, being made, or made, with what it was made from."""

    __tablename__ = "pack"
    __table_args__ = (UniqueConstraint("job_id", "number"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    number: Mapped[int]
    kind: Mapped[str] = mapped_column(String(20))
    asked_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    asked_at: Mapped[datetime]
    step: Mapped[str]
    step_done: Mapped[int]
    step_of: Mapped[int]
    program: Mapped[str | None]
    entries: Mapped[int | None]
    head: Mapped[str | None] = mapped_column(String(64))
    sha256: Mapped[str | None] = mapped_column(String(64))
    bytes: Mapped[int | None]
    made_at: Mapped[datetime | None]
    fault: Mapped[str | None]


class UploadRow(Base):
    """A photo that arrives in pieces, named by the SHA-256 that it will have."""

    __tablename__ = "upload"

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"), index=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    sha256: Mapped[str] = mapped_column(String(64))
    length: Mapped[int]
    name: Mapped[str]
    created_at: Mapped[datetime]
    finished_at: Mapped[datetime | None]

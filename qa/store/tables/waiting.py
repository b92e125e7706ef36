"""Photographs that were brought in together and wait for somebody to say what they show."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class WaitingPhotoRow(Base):
    """A photograph that is not in the record yet; a job has one of each digest.

    Attributes:
        person_id: who brought it.
        name: of the file, for sentences.
        taken_clock: the camera's time without a zone, ISO 8601; None where the file says none.
        taken_at: the camera's time where the file says its zone; else None.
        gps_at: time of the position fix, or None.
        said_at: when it was taken as a person says; goes before what the file says.
        clock_slow_min: how far the camera's clock was behind, minutes; ahead is below 0.
        chosen: what it shows as a person says, see `qa.services.photo_targets`; None: proposed.
        expires_at: when it is dropped where nobody has placed it.
        ended: "placed", "left out" or "expired"; None while it waits.
    """

    __tablename__ = "waiting_photo"
    __table_args__ = (UniqueConstraint("job_id", "sha256", name="uq_waiting_photo_job_id_sha256"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"), index=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id"))
    sha256: Mapped[str] = mapped_column(String(64))
    name: Mapped[str]
    taken_clock: Mapped[str | None] = mapped_column(String(40))
    taken_at: Mapped[datetime | None]
    gps_at: Mapped[datetime | None]
    said_at: Mapped[datetime | None]
    clock_slow_min: Mapped[int]
    chosen: Mapped[str | None]
    arrived_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    ended: Mapped[str | None] = mapped_column(String(10))
    ended_at: Mapped[datetime | None]

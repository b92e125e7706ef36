"""Links by which people outside the firm read one job, and what they write to the firm by them."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, false
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class LinkRow(Base):
    """A link to one job; its token is kept as a digest only.

    Attributes:
        face: what it opens: "homeowner" or "insurer".
        recipient: whom it was made for. It stands here and not in the record, whose chain could
            not let go of a name.
        shows_personal: whether names and addresses are shown to whoever holds it.
        last_used_at: when it was last used, to the minute.
        uses: visits; whatever is fetched within one of them counts once.
    """

    __tablename__ = "link"
    __table_args__ = (Index("ix_link_job_id_created_at", "job_id", "created_at"),)

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    face: Mapped[str] = mapped_column(String(10))
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    made_by: Mapped[str] = mapped_column(ForeignKey("person.id"))
    recipient: Mapped[str]
    shows_personal: Mapped[bool]
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    last_used_at: Mapped[datetime | None]
    uses: Mapped[int]


class MessageRow(Base):
    """What somebody wrote to the firm by a link: a homeowner's report, an insurer's question.

    Attributes:
        link_id: by which link; its face says what it is.
        photo: SHA-256 of a photograph that came with it, held by the firm as an original.
        entry_id, photo_entry_id, answer_id: ids that the entries have, or will have, by which one
            of the firm's people takes it into the record and answers it. Given beforehand, so that
            two people who do so at once make one entry, and the record alone says whether it was
            done.
        answered: whether the record holds the answer; a summary, for the list of those that wait.
    """

    __tablename__ = "message"
    __table_args__ = (
        Index("ix_message_job_id_received_at", "job_id", "received_at"),
        Index("ix_message_firm_id_answered_received_at", "firm_id", "answered", "received_at"),
    )

    id: Mapped[str] = mapped_column(String(36), primary_key=True)
    link_id: Mapped[str] = mapped_column(ForeignKey("link.id"))
    firm_id: Mapped[str] = mapped_column(ForeignKey("firm.id"))
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    text: Mapped[str]
    photo: Mapped[str | None] = mapped_column(String(64))
    received_at: Mapped[datetime]
    entry_id: Mapped[str] = mapped_column(String(36), unique=True)
    photo_entry_id: Mapped[str] = mapped_column(String(36), unique=True)
    answer_id: Mapped[str] = mapped_column(String(36), unique=True)
    answered: Mapped[bool] = mapped_column(server_default=false())

"""Specifications that firms have made: versions that a job may be judged by."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class SpecificationRow(Base):
    """One version of a firm's specification. Rows are only ever inserted; triggers see to it.

    Attributes:
        key, version: together its name as jobs pin it, "our-limits/2".
        content: its file, TOML in UTF-8, byte by byte.
        sha256: digest of the content, which packs print.
        note: why it was made, in the words of whoever made it.
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

"""Layouts of loggers' files in the database: one for each firm and line of headings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from qa.store.tables import CsvLayoutRow


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCsvLayout:
    """A layout as it is kept; see `qa.store.tables.programs.CsvLayoutRow`."""

    id: str
    firm_id: str
    fingerprint: str
    layout: str
    kept_at: datetime


def layout_of(session: Session, fingerprint: str, *, firm_id: str) -> str | None:
    """The layout that the firm keeps for these headings, or None."""
    return session.scalar(
        select(CsvLayoutRow.layout).where(
            CsvLayoutRow.firm_id == firm_id, CsvLayoutRow.fingerprint == fingerprint
        )
    )


def keep_layout(session: Session, kept: KeptCsvLayout) -> None:
    """Keeps a layout in the place of the one that the firm had for these headings."""
    row = session.scalar(
        select(CsvLayoutRow).where(
            CsvLayoutRow.firm_id == kept.firm_id, CsvLayoutRow.fingerprint == kept.fingerprint
        )
    )
    if row is None:
        session.add(
            CsvLayoutRow(
                id=kept.id,
                firm_id=kept.firm_id,
                fingerprint=kept.fingerprint,
                layout=kept.layout,
                kept_at=kept.kept_at,
            )
        )
    else:
        row.layout, row.kept_at = kept.layout, kept.kept_at
    session.flush()

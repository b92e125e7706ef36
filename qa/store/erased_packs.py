"""Packs that show what was erased from their record since; their PDFs go with it."""

from __future__ import annotations

from sqlalchemy import and_, select
from sqlalchemy.orm import Session

from qa.store.store import Database
from qa.store.tables.ledger import EntryRow
from qa.store.tables.work import PackRow

IS_ERASED = and_(
    PackRow.entries.is_not(None),
    select(EntryRow.id)
    .where(
        EntryRow.job_id == PackRow.job_id,
        EntryRow.kind == "erasure",
        EntryRow.seq >= PackRow.entries,
    )
    .correlate(PackRow)
    .exists(),
)
"""Whether a record that had so many entries when the pack was made has lost something since."""


def erased_papers(database: Database, *, job_id: str) -> tuple[str, ...]:
    """Digests of the PDFs of a job that show what was erased from its record since."""
    query = select(PackRow.sha256).where(
        PackRow.job_id == job_id, PackRow.sha256.is_not(None), IS_ERASED
    )
    return tuple(sha256 for sha256 in database.scalars(query) if sha256)


def is_behind_erasure(session: Session, pack: str) -> bool:
    """Whether a pack that is being made shows what was erased since it was begun."""
    found = session.scalars(select(PackRow.id).where(PackRow.id == pack, IS_ERASED))
    return found.first() is not None


def is_paper_held(session: Session, sha256: str) -> bool:
    """Whether any pack still gives out a PDF; only for deciding whether its file may go."""
    held = select(PackRow.id).where(PackRow.sha256 == sha256, ~IS_ERASED).limit(1)
    return session.scalars(held).first() is not None

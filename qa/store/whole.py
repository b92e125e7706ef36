"""What the database holds as a whole, over all firms, for backups and proofs of it."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from qa.store.erased_packs import IS_ERASED
from qa.store.tables import EntryRow, OriginalRow, PackRow


class Link(NamedTuple):
    """One entry's place in the chain, as its row says it."""

    id: str
    seq: int | None
    prev: str | None
    hash: str | None


def links_of(session: Session, *, job_id: str) -> tuple[Link, ...]:
    """The links of a job's chain, in order."""
    rows = session.execute(
        select(EntryRow.id, EntryRow.seq, EntryRow.prev, EntryRow.hash)
        .where(EntryRow.job_id == job_id)
        .order_by(EntryRow.seq)
    )
    return tuple(Link(*row) for row in rows)


def held_digests(session: Session) -> tuple[str, ...]:
    """The digest of every original that any firm holds, each once."""
    rows = session.scalars(select(OriginalRow.sha256).distinct().order_by(OriginalRow.sha256))
    return tuple(rows)


def made_digests(session: Session) -> tuple[str, ...]:
    """The digest of every pack that was made, each once."""
    made = select(PackRow.sha256).where(PackRow.sha256.is_not(None), ~IS_ERASED)
    rows = session.scalars(made.distinct().order_by(PackRow.sha256))
    return tuple(digest for digest in rows if digest is not None)

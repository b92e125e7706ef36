"""Specifications that firms have made, in the database: added, and never changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from qa.store.store import Database
from qa.store.tables import PersonRow, SpecificationRow


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedVersion:
    """A version as a list shows it; see `qa.store.tables.specifications.SpecificationRow`.

    Attributes:
        made_by: name of whoever made it.
    """

    key: str
    version: int
    sha256: str
    made_by: str
    made_at: datetime
    note: str
    came_with: str | None

    @property
    def name(self) -> str:
        """Key and version as a job pins them."""
        return f"{self.key}/{self.version}"


@dataclass(frozen=True, slots=True, kw_only=True)
class NewVersion:
    """A version that is about to be kept; `made_by` is the person's id."""

    firm_id: str
    key: str
    version: int
    content: bytes
    sha256: str
    made_by: str
    made_at: datetime
    note: str
    came_with: str | None = None


def add_version(session: Session, new: NewVersion) -> None:
    """Keeps a version for good.

    Raises:
        StoreError: the firm has one of this key and version.
    """
    session.add(SpecificationRow(**{name: getattr(new, name) for name in NewVersion.__slots__}))
    session.flush()


def versions_of(database: Database, *, firm_id: str) -> tuple[ListedVersion, ...]:
    """Every version that a firm has made, by key, the newest first."""
    row = SpecificationRow
    query = (
        select(
            row.key, row.version, row.sha256, PersonRow.name, row.made_at, row.note, row.came_with
        )
        .join(PersonRow, PersonRow.id == row.made_by)
        .where(row.firm_id == firm_id)
        .order_by(row.key, row.version.desc())
    )
    return tuple(
        ListedVersion(
            key=key,
            version=version,
            sha256=sha256,
            made_by=made_by,
            made_at=made_at,
            note=note,
            came_with=came_with,
        )
        for key, version, sha256, made_by, made_at, note, came_with in database.execute(query)
    )


def content_of(database: Database, *, firm_id: str, key: str, version: int) -> bytes | None:
    """The file of a firm's version, or None where it has none of this name."""
    row = SpecificationRow
    query = select(row.content).where(
        row.firm_id == firm_id, row.key == key, row.version == version
    )
    return database.execute(query).scalar()


def has_version(database: Database, *, firm_id: str, key: str, version: int) -> bool:
    """Whether a firm has a version of this name."""
    row = SpecificationRow
    query = select(row.key).where(row.firm_id == firm_id, row.key == key, row.version == version)
    return database.execute(query).first() is not None


def newest_version(database: Database, *, firm_id: str, key: str) -> int:
    """The number of a firm's newest version of a key, or 0."""
    row = SpecificationRow
    newest = select(func.max(row.version)).where(row.firm_id == firm_id, row.key == key)
    return database.execute(newest).scalar() or 0

"""Drafts of firms' specifications in the database, and what was changed in each."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, insert, select, update
from sqlalchemy.orm import Session, aliased

from qa.store.columns import value_of
from qa.store.tables import PersonRow, SpecificationChangeRow, SpecificationDraftRow


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptDraft:
    """A draft; see `qa.store.tables.specifications.SpecificationDraftRow`.

    Attributes:
        begun_by, ended_by: names of the people.
    """

    id: str
    came_from: str
    content: bytes
    revision: int
    begun_by: str
    begun_at: datetime
    ended_by: str | None
    ended_at: datetime | None
    published: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptChange:
    """One change of a draft; `changed_by` is the person's name."""

    revision: int
    path: str
    told: str
    changed_by: str
    changed_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class NewChange:
    """A change that is about to be kept; `changed_by` is the person's id."""

    path: str
    told: str
    changed_by: str
    changed_at: datetime


def begin_draft(
    session: Session, *, id_: str, firm_id: str, came_from: str, content: bytes, begun_by: str,
    now: datetime,
) -> None:  # fmt: skip
    """Begins a draft; the caller has seen that the firm has none from this version."""
    row = SpecificationDraftRow(
        id=id_, firm_id=firm_id, came_from=came_from, standing=came_from, content=content,
        revision=0, begun_by=begun_by, begun_at=now,
    )  # fmt: skip
    session.add(row)
    session.flush()


def standing_draft(session: Session, *, firm_id: str, came_from: str) -> str | None:
    """Id of the firm's open draft from a version, or None."""
    row = SpecificationDraftRow
    query = select(row.id).where(row.firm_id == firm_id, row.standing == came_from)
    return session.scalar(query)


def hold_draft(session: Session, draft: str, *, firm_id: str) -> None:
    """Keeps other writers from a draft until this transaction ends."""
    row = SpecificationDraftRow
    session.execute(select(row.id).where(row.firm_id == firm_id, row.id == draft).with_for_update())


def find_draft(session: Session, draft: str, *, firm_id: str) -> KeptDraft | None:
    """A firm's draft, open or ended, or None."""
    found = _drafts(session, firm_id, SpecificationDraftRow.id == draft)
    return found[0] if found else None


def open_drafts(session: Session, *, firm_id: str) -> tuple[KeptDraft, ...]:
    """The firm's open drafts, the last begun first."""
    return _drafts(session, firm_id, SpecificationDraftRow.standing.is_not(None))


def changes_of(session: Session, draft: str) -> tuple[KeptChange, ...]:
    """What was changed in a draft, the last first."""
    row = SpecificationChangeRow
    query = (
        select(row.revision, row.path, row.told, PersonRow.name, row.changed_at)
        .join(PersonRow, PersonRow.id == row.changed_by)
        .where(row.draft_id == draft)
        .order_by(row.revision.desc())
    )
    return tuple(
        KeptChange(revision=revision, path=path, told=told, changed_by=name, changed_at=at)
        for revision, path, told, name, at in session.execute(query)
    )


def keep_change(
    session: Session, draft: str, *, content: bytes, revision: int, new: NewChange
) -> None:
    """Keeps a draft as it stands after a change, which gives it a new revision."""
    session.execute(
        insert(SpecificationChangeRow).values(
            draft_id=draft,
            revision=revision,
            path=new.path,
            told=new.told,
            changed_by=new.changed_by,
            changed_at=new.changed_at,
        )
    )
    _change(session, draft, content=content, revision=revision)


def end_draft(
    session: Session, draft: str, *, ended_by: str, now: datetime, published: str | None = None
) -> None:
    """Ends a draft: as the version that it became, or thrown away."""
    _change(session, draft, standing=None, ended_by=ended_by, ended_at=now, published=published)


def _change(session: Session, draft: str, **values: object) -> None:
    session.execute(
        update(SpecificationDraftRow).where(SpecificationDraftRow.id == draft).values(**values)
    )


def _drafts(session: Session, firm_id: str, *where: ColumnElement[bool]) -> tuple[KeptDraft, ...]:
    row, beginner, ender = SpecificationDraftRow, aliased(PersonRow), aliased(PersonRow)
    query = (
        select(row, beginner.name, ender.name)
        .join(beginner, beginner.id == row.begun_by)
        .outerjoin(ender, ender.id == row.ended_by)
        .where(row.firm_id == firm_id, *where)
        .order_by(row.begun_at.desc(), row.id)
    )
    return tuple(
        value_of(KeptDraft, draft, begun_by=begun_by, ended_by=ended_by)
        for draft, begun_by, ended_by in session.execute(query)
    )

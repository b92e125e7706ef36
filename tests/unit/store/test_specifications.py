"""A kept version of a specification: the database refuses to change, delete or replace it."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy import text

from qa.errors import StoreError
from qa.store.specifications import NewVersion, add_version, content_of
from qa.store.store import Store
from qa.store.tables import FirmRow, PersonRow
from tests.unit.store.entry_rows import ON_POSTGRESQL, ON_SQLITE

NEVER = "A version of a specification is never changed; make a new one."
MOMENT = datetime(2026, 5, 12, tzinfo=UTC)


@pytest.fixture
def kept(store: Store) -> Store:
    """A store with a firm's version."""
    with store.writing() as session:
        session.add(FirmRow(id="f", name="Invented Roofs", created_at=MOMENT))
    with store.writing() as session:
        session.add(
            PersonRow(
                id="p", firm_id="f", key="p", name="P", email="p@firm.example", roles="owner",
                password_hash="!", session_mark="p", appearance="auto", created_at=MOMENT,
            )
        )  # fmt: skip
    _add(store)
    return store


def _add(store: Store) -> None:
    new = NewVersion(
        firm_id="f", key="our-limits", version=1, content=b"as it was", sha256="0" * 64,
        made_by="p", made_at=MOMENT, note="",
    )  # fmt: skip
    with store.writing() as session:
        add_version(session, new)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE specification SET note = 'other'",
        "UPDATE specification SET version = 2",
        "DELETE FROM specification",
    ],
)
def test_kept_version_cannot_be_moved(kept: Store, statement: str) -> None:
    _refused(kept, statement)


@ON_POSTGRESQL
def test_kept_versions_cannot_be_emptied(kept: Store) -> None:
    _refused(kept, "TRUNCATE specification")


@ON_SQLITE
def test_kept_version_cannot_be_replaced(kept: Store) -> None:
    _refused(
        kept,
        "INSERT OR REPLACE INTO specification SELECT firm_id, key, version, 'x', sha256, made_by,"
        " made_at, note, came_with FROM specification",
    )


def test_second_row_of_a_version_is_refused(kept: Store) -> None:
    with pytest.raises(StoreError, match=NEVER):
        _add(kept)


def _refused(store: Store, statement: str) -> None:
    with pytest.raises(StoreError, match=NEVER), store.writing() as session:
        session.execute(text(statement))
    with store.reading() as session:
        assert content_of(session, firm_id="f", key="our-limits", version=1) == b"as it was"

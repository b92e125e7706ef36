"""A prepared statement does what the library's own sending does, and tells faults as well."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Any, cast

import pytest
from sqlalchemy import Table, bindparam, insert, select, update
from sqlalchemy.exc import IntegrityError

from qa.errors import StoreError
from qa.store.prepared import Prepared
from qa.store.store import Store
from qa.store.tables import EntryRow, FirmRow
from tests.unit.store.entry_rows import NOON, add_job, entry

FIRMS, ENTRIES = (cast(Table, row.__table__) for row in (FirmRow, EntryRow))
ADD, ADD_ENTRY = Prepared(insert(FIRMS)), Prepared(insert(ENTRIES))
RENAME = Prepared(update(FIRMS).where(FIRMS.c.id == bindparam("of")).values(name=bindparam("new")))
NAME = Prepared(select(FIRMS.c.name).where(FIRMS.c.id == bindparam("of")))


def _firm(number: int, created_at: datetime = NOON) -> dict[str, Any]:
    named = {"id": f"firm-{number}", "name": f"Invented {number}", "created_at": created_at}
    return {**dict.fromkeys(("address", "phone", "email")), **named}


def test_rows_are_added_changed_and_found(store: Store) -> None:
    with store.adding() as connection:
        ADD.run(connection, _firm(1), _firm(2))
        RENAME.run(connection, {"of": "firm-2", "new": "Invented and renamed"})
        assert NAME.first(connection, {"of": "firm-1"}) == ("Invented 1",)
    with store.reading() as session:
        assert NAME.first(session, {"of": "firm-2"}) == ("Invented and renamed",)
        assert NAME.first(session, {"of": "firm-3"}) is None


def test_every_row_is_answered(store: Store) -> None:
    every = Prepared(select(FIRMS.c.id).where(FIRMS.c.id != bindparam("but")).order_by(FIRMS.c.id))
    with store.adding() as connection:
        ADD.run(connection, _firm(1), _firm(2), _firm(3))
        assert every.all(connection, {"but": "firm-2"}) == [("firm-1",), ("firm-3",)]


def test_time_goes_in_as_the_library_writes_it(store: Store) -> None:
    in_summer = NOON.astimezone(timezone(timedelta(hours=2)))
    with store.writing() as session:
        ADD.run(session, _firm(1, in_summer))
    with store.reading() as session:
        kept = session.scalars(select(FirmRow.created_at)).one()
    assert (kept, kept.utcoffset()) == (NOON, timedelta(0))


def test_what_contradicts_a_constraint_is_a_fault_of_the_program(store: Store) -> None:
    with pytest.raises(IntegrityError), store.adding() as connection:
        ADD.run(connection, _firm(1), _firm(1))
    with store.reading() as session:
        assert NAME.first(session, {"of": "firm-1"}) is None


def test_what_a_guard_refuses_is_told_in_its_sentence(store: Store) -> None:
    with store.writing() as session:
        add_job(session)
    with pytest.raises(StoreError, match="Nothing was saved"), store.adding() as connection:
        ADD_ENTRY.run(connection, entry(0), entry(2))
    with store.adding() as connection:
        ADD_ENTRY.run(connection, entry(0), entry(1))

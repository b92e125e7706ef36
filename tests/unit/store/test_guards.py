"""The database itself refuses every way to change the record, and a lifted guard is noticed."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Iterator, Mapping

import pytest
from sqlalchemy import delete, insert, select, text, update
from sqlalchemy.dialects.postgresql import insert as postgresql_insert
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from qa.errors import StoreError
from qa.store.store import Store
from qa.store.tables import DisclosureRow, EntryRow
from tests.unit.store.entry_rows import (
    ON_POSTGRESQL,
    ON_SQLITE,
    add_disclosure,
    add_entries,
    add_job,
    disclosure,
    entry,
    hash_of,
)

WRITTEN_AT = {"at": "2026-05-12 12:00:00", "received_at": "2026-05-12 12:00:00"}
COLUMNS = ", ".join(f'"{name}"' for name in entry(0))
PLACES = ", ".join(f":{name}" for name in entry(0))


@pytest.fixture
def filled(store: Store) -> Store:
    """A store with three entries and a disclosure."""
    with store.writing() as session:
        add_job(session)
        add_entries(session, 3)
        add_disclosure(session)
    return store


@pytest.fixture
def kept(filled: Store) -> Iterator[Store]:
    """The same, looked through afterwards: nothing in it may have changed."""
    yield filled
    with filled.reading() as session:
        rows = session.execute(select(EntryRow.seq, EntryRow.hash, EntryRow.by)).all()
    assert [tuple(row) for row in rows] == [(seq, hash_of(seq), "m-example") for seq in range(3)]


def _refused(store: Store, sentence: str, change: Callable[[Session], object]) -> None:
    with (
        pytest.raises(StoreError, match=f"^{re.escape(sentence)}.* Nothing was saved"),
        store.writing() as session,
    ):
        change(session)


def _adding(row: Mapping[str, object]) -> Callable[[Session], object]:
    return lambda session: session.execute(insert(EntryRow).values(**row))


def test_entry_cannot_be_changed(kept: Store) -> None:
    change = update(EntryRow).where(EntryRow.seq == 1).values(by="another")
    _refused(kept, "An entry of the record is never changed", lambda s: s.execute(change))


def test_entry_cannot_be_deleted(kept: Store) -> None:
    last = delete(EntryRow).where(EntryRow.seq == 2)
    _refused(kept, "An entry of the record is never deleted", lambda s: s.execute(last))


@pytest.mark.parametrize(
    "row",
    [entry(3, id="entry-1"), entry(1, id="another"), entry(1), entry(2, by="another")],
    ids=["same id", "same place", "same entry", "last again"],
)
def test_entry_is_added_once(kept: Store, row: Mapping[str, object]) -> None:
    already = "The record already holds an entry"
    if kept.engine.dialect.name == "postgresql" and row["seq"] != 3:
        already = "An entry must come right behind the last one"
    _refused(kept, already, _adding(row))


@pytest.mark.parametrize(
    "row",
    [
        entry(4),
        {**entry(3), "seq": -1},
        entry(3, prev=hash_of(1)),
        entry(3, prev="0" * 64),
        entry(3, prev=hash_of(2).upper()),
    ],
    ids=["a gap", "before the first", "one too far back", "a second first", "other letters"],
)
def test_entry_must_follow_the_last(kept: Store, row: Mapping[str, object]) -> None:
    _refused(kept, "An entry must come right behind the last one", _adding(row))


def test_first_entry_follows_nothing(store: Store) -> None:
    with store.writing() as session:
        add_job(session)
    _refused(store, "An entry must come right behind", _adding(entry(0, prev=hash_of(7))))
    _refused(store, "An entry must come right behind", _adding(entry(1)))


def test_many_rows_at_once_are_held_to_the_line(kept: Store) -> None:
    rows = [entry(3), entry(4), entry(6)]
    _refused(kept, "An entry must come right", lambda s: s.execute(insert(EntryRow), rows))
    several = insert(EntryRow).values([entry(3), entry(5)])
    _refused(kept, "An entry must come right", lambda s: s.execute(several))


@ON_SQLITE
@pytest.mark.parametrize("verb", ["INSERT OR REPLACE", "INSERT OR IGNORE", "REPLACE"])
@pytest.mark.parametrize("row", [entry(1, by="another"), entry(9, id="entry-1")])
def test_replacing_slips_past_no_guard(kept: Store, verb: str, row: Mapping[str, object]) -> None:
    statement = text(f"{verb} INTO entry ({COLUMNS}) VALUES ({PLACES})")
    spoken = {**row, **WRITTEN_AT}
    _refused(kept, "The record already holds", lambda s: s.execute(statement, spoken))


@ON_SQLITE
def test_replacing_by_row_number_is_refused(kept: Store) -> None:
    statement = text(f"INSERT OR REPLACE INTO entry (rowid, {COLUMNS}) VALUES (2, {PLACES})")
    spoken = {**entry(3), **WRITTEN_AT}
    _refused(kept, "The record already holds", lambda s: s.execute(statement, spoken))


@ON_POSTGRESQL
@pytest.mark.parametrize("row", [entry(1, by="another"), entry(3, id="entry-1")])
def test_insert_that_turns_into_an_update_is_refused(
    kept: Store, row: Mapping[str, object]
) -> None:
    clash = postgresql_insert(EntryRow).values(**row)
    turning = clash.on_conflict_do_update(index_elements=["job_id", "id"], set_={"by": "another"})
    _refused(kept, "", lambda s: s.execute(turning))


@ON_POSTGRESQL
@pytest.mark.parametrize(
    ("tables", "sentence"),
    [
        ("entry", "An entry of the record is never deleted"),
        ("disclosure", "A disclosure is never changed"),
        ("job CASCADE", "A"),
    ],
)
def test_tables_cannot_be_emptied(kept: Store, tables: str, sentence: str) -> None:
    _refused(kept, sentence, lambda s: s.execute(text(f"TRUNCATE {tables}")))


def test_job_with_entries_cannot_be_deleted(kept: Store) -> None:
    with pytest.raises(IntegrityError), kept.writing() as session:
        session.execute(text("DELETE FROM job"))


@ON_POSTGRESQL
def test_guards_hold_while_rows_are_replicated(kept: Store) -> None:
    change = update(EntryRow).values(by="another")

    def as_a_replica(session: Session) -> None:
        session.execute(text("SET LOCAL session_replication_role = replica"))
        session.execute(change)

    _refused(kept, "An entry of the record is never changed", as_a_replica)


def test_disclosure_is_erased_but_never_changed(kept: Store) -> None:
    change = update(DisclosureRow).values(value="B. Example")
    again = insert(DisclosureRow).values(**disclosure(value="B. Example"))
    _refused(kept, "A disclosure is never changed", lambda s: s.execute(change))
    _refused(kept, "A disclosure is never changed", lambda s: s.execute(again))
    with kept.writing() as session:
        session.execute(delete(DisclosureRow))
    with kept.reading() as session:
        assert session.execute(select(DisclosureRow)).all() == []


@ON_SQLITE
def test_disclosure_cannot_be_replaced(kept: Store) -> None:
    statement = "INSERT OR REPLACE INTO disclosure ({}) VALUES ({})"
    row = disclosure(value='"B. Example"')
    names, places = ", ".join(row), ", ".join(f":{name}" for name in row)
    other = disclosure(field="other", value='"B. Example"')
    filled = text(statement.format(names, places))
    by_number = text(statement.format(f"rowid, {names}", f"1, {places}"))
    _refused(kept, "A disclosure is never changed", lambda s: s.execute(filled, row))
    _refused(kept, "A disclosure is never changed", lambda s: s.execute(by_number, other))


def test_of_two_writers_at_once_one_is_refused(filled: Store) -> None:
    """Both add the next entry past the store, whose writers take turns: the database decides."""
    together = threading.Barrier(2)
    faults: list[Exception] = []

    def write(name: str) -> None:
        together.wait()
        try:
            with filled.engine.connect() as connection, connection.begin():
                connection.execute(insert(EntryRow).values(**entry(3, id=name)))
        except (StoreError, IntegrityError) as fault:
            faults.append(fault)

    writers = [threading.Thread(target=write, args=(name,)) for name in ("one", "two")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    with filled.reading() as session:
        places = session.execute(select(EntryRow.seq).order_by(EntryRow.seq)).scalars().all()
    assert (len(faults), places) == (1, [0, 1, 2, 3])


@ON_POSTGRESQL
def test_guard_looks_at_the_last_entry_only(filled: Store) -> None:
    """Also where nothing is known of the table yet, since the plan that is made then is kept."""
    last = "SELECT hash FROM entry WHERE job_id = 'job-1' ORDER BY seq DESC LIMIT 1"
    with filled.reading() as session:
        session.execute(text("SET LOCAL enable_seqscan = off"))
        plan = "\n".join(session.execute(text(f"EXPLAIN {last}")).scalars())
    assert "Index Scan Backward using uq_entry_job_id_seq" in plan
    assert "Sort" not in plan

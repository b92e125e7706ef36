"""A guard that is missing, weakened or switched off is found at the start."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from sqlalchemy import text

from qa.errors import StoreError
from qa.store.guards import GUARDS, POSTGRESQL, SQLITE, Guard, guards_of, require_guards
from qa.store.store import Store
from tests.unit.store.entry_rows import ON_POSTGRESQL

EACH_GUARD = pytest.mark.parametrize(
    ("database_url", "guard"),
    [(database, guard) for database in (SQLITE, POSTGRESQL) for guard in guards_of(database)],
    indirect=["database_url"],
    ids=lambda value: getattr(value, "name", value),
)


def _do(store: Store, statements: Sequence[str]) -> None:
    with store.writing() as session:
        for statement in statements:
            session.execute(text(statement))


def _dropping(store: Store, guard: Guard) -> str:
    where = f" ON {guard.table}" if store.engine.dialect.name == "postgresql" else ""
    return f"DROP TRIGGER {guard.name}{where}"


def test_migrated_database_has_every_guard(store: Store) -> None:
    require_guards(store.engine)


@EACH_GUARD
def test_missing_guard_is_named(store: Store, guard: Guard) -> None:
    _do(store, [_dropping(store, guard)])
    with pytest.raises(StoreError, match=f"guards the record: {guard.name} is missing or changed"):
        require_guards(store.engine)


@EACH_GUARD
def test_weakened_guard_is_named(store: Store, guard: Guard) -> None:
    if store.engine.dialect.name == "sqlite":
        head, _, _ = guard.sqlite_trigger().partition("SELECT")
        _do(store, [_dropping(store, guard), f"{head}SELECT 1; END"])
    else:
        head = f"CREATE OR REPLACE FUNCTION {guard.name}() RETURNS trigger LANGUAGE plpgsql"
        _do(store, [f"{head} AS $$BEGIN RETURN NEW; END$$"])
    with pytest.raises(StoreError, match=f"{guard.name} is missing or changed"):
        require_guards(store.engine)


@ON_POSTGRESQL
@pytest.mark.parametrize("how", ["DISABLE", "ENABLE", "ENABLE REPLICA"])
def test_guard_that_does_not_always_hold_is_named(store: Store, how: str) -> None:
    _do(store, [f"ALTER TABLE entry {how} TRIGGER entry_kept"])
    with pytest.raises(StoreError, match="entry_kept is missing or changed"):
        require_guards(store.engine)


def test_guard_on_some_columns_only_is_named(store: Store) -> None:
    guard = next(one for one in GUARDS if one.name == "entry_unchanged")
    if store.engine.dialect.name == "sqlite":
        tied = guard.sqlite_trigger()
    else:
        tied = guard.postgresql_trigger()
    narrowed = tied.replace("BEFORE UPDATE ON", "BEFORE UPDATE OF kind ON")
    _do(store, [_dropping(store, guard), narrowed])
    with pytest.raises(StoreError, match="entry_unchanged is missing or changed"):
        require_guards(store.engine)


def test_every_missing_guard_is_named_at_once(store: Store) -> None:
    _do(store, [_dropping(store, guard) for guard in guards_of(store.engine.dialect.name)])
    with pytest.raises(StoreError, match=r"entry_unchanged, entry_kept, .* are missing"):
        require_guards(store.engine)


def test_sentences_can_stand_between_quotes() -> None:
    for refusal in (refusal for guard in GUARDS for refusal in guard.refusals):
        assert not set("'%:") & set(refusal.sentence)

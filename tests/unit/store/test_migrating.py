"""Migrations lead from nothing to the tables of the program, and back, on both databases."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, inspect, select, text

from qa.errors import StoreError
from qa.store import migrating
from qa.store.base import Base
from qa.store.engine import open_engine
from qa.store.guards import require_guards
from qa.store.migrating import migrate_back, migrate_to_head, migrations_folder, require_head
from qa.store.store import Store
from qa.store.tables import EntryRow
from tests.postgres import PostgresServer
from tests.unit.store.entry_rows import add_entries, add_job, hash_of

FILES = sorted(migrations_folder().glob("versions/*.py"))
GUARDS = next(file for file in FILES if file.stem.endswith("_the_guards_of_the_ledger"))
EACH_FILE = pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)


@pytest.fixture(params=["sqlite", "postgresql"])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """A database without a table."""
    if request.param == "sqlite":
        engine = open_engine(f"sqlite:///{tmp_path / 'empty.db'}")
        yield engine
        engine.dispose()
    else:
        server: PostgresServer = request.getfixturevalue("postgres")
        with server.bare_database() as url:
            engine = open_engine(url)
            yield engine
            engine.dispose()


def _schema(engine: Engine) -> list[str]:
    """Everything that the database says about its own shape."""
    if engine.dialect.name == "sqlite":
        query = "SELECT coalesce(sql, name) FROM sqlite_master"
    else:
        query = (
            "SELECT concat_ws(' ', table_name, column_name, data_type, is_nullable,"
            " character_maximum_length) FROM information_schema.columns"
            " WHERE table_schema = 'public'"
            " UNION ALL SELECT indexdef FROM pg_indexes WHERE schemaname = 'public'"
            " UNION ALL SELECT pg_get_constraintdef(oid) FROM pg_constraint"
            " WHERE connamespace = 'public'::regnamespace"
            " UNION ALL SELECT pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal"
            " UNION ALL SELECT prosrc FROM pg_proc WHERE pronamespace = 'public'::regnamespace"
        )
    with engine.connect() as connection:
        return sorted(connection.execute(text(query)).scalars())


def test_newest_tables_are_those_of_the_program(empty: Engine) -> None:
    migrate_to_head(empty)
    with empty.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        differences = compare_metadata(context, Base.metadata)
    assert differences == [], "write a migration for these"


def test_newest_tables_have_every_guard(empty: Engine) -> None:
    migrate_to_head(empty)
    require_guards(empty)
    require_head(empty)


def test_up_and_down_and_up_ends_in_the_same_shape(empty: Engine) -> None:
    migrate_to_head(empty)
    once = _schema(empty)
    migrate_back(empty, "base")
    assert inspect(empty).get_table_names() == ["alembic_version"]
    assert not [line for line in _schema(empty) if "RAISE" in line]
    migrate_to_head(empty)
    assert _schema(empty) == once


def test_each_migration_can_be_taken_back_alone(empty: Engine) -> None:
    scripts = ScriptDirectory(str(migrations_folder()))
    migrate_to_head(empty)
    newest_first = [one.revision for one in scripts.walk_revisions()]
    for revision in [*newest_first[1:], "base"]:
        migrate_back(empty, revision)
        with empty.connect() as connection:
            found = MigrationContext.configure(connection).get_current_revision()
        assert (found or "base") == revision


def test_migrating_again_changes_nothing(store: Store) -> None:
    with store.writing() as session:
        add_job(session)
        add_entries(session, 5)
    before = _schema(store.engine)
    migrate_to_head(store.engine)
    assert _schema(store.engine) == before
    with store.reading() as session:
        rows = session.execute(select(EntryRow.prev, EntryRow.hash).order_by(EntryRow.seq)).all()
    assert [row.hash for row in rows] == [hash_of(seq) for seq in range(5)]
    assert [row.prev for row in rows] == ["0" * 64, *(hash_of(seq) for seq in range(4))]


def test_newer_database_is_left_alone(store: Store) -> None:
    with store.writing() as session:
        session.execute(text("UPDATE alembic_version SET version_num = 'of_tomorrow'"))
    before = _schema(store.engine)
    with pytest.raises(StoreError, match=r"another Laidtrue than this one.*of_tomorrow"):
        migrate_to_head(store.engine)
    with pytest.raises(StoreError, match="those of of_tomorrow, and this Laidtrue needs"):
        require_head(store.engine)
    assert _schema(store.engine) == before


def test_database_without_tables_is_not_at_the_head(empty: Engine) -> None:
    with pytest.raises(StoreError, match="those of no migration"):
        require_head(empty)


def test_migration_that_fails_leaves_nothing(
    empty: Engine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "migrations"
    (folder / "versions").mkdir(parents=True)
    for file in [*FILES, migrations_folder() / "env.py"]:
        copy = folder / file.relative_to(migrations_folder())
        copy.write_bytes(file.read_bytes())
    (folder / "versions" / GUARDS.name).write_text(
        GUARDS.read_text().replace("CREATE TRIGGER entry_in_line", "CREATE NONSENSE")
    )
    monkeypatch.setattr(migrating, "_PLACES", (folder,))
    before = _schema(empty)
    with pytest.raises(Exception, match=r"syntax error"):
        migrate_to_head(empty)
    assert _schema(empty) == before


def test_missing_migrations_are_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(migrating, "_PLACES", (tmp_path,))
    with pytest.raises(StoreError, match="migrations of the database are missing"):
        migrations_folder()


@EACH_FILE
def test_migration_is_named_by_its_day_and_minute(file: Path) -> None:
    assert re.fullmatch(r"20\d{6}_\d{4}_[a-z_]+", file.stem)


@EACH_FILE
def test_migration_knows_no_code_that_may_change(file: Path) -> None:
    tree = ast.parse(file.read_text(encoding="utf-8"))
    modules = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    names = {
        name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names
    }
    assert modules | names <= {"__future__", "alembic", "sqlalchemy"}


@EACH_FILE
def test_migration_batches_no_guarded_table(file: Path) -> None:
    """On SQLite a batch copies the table and drops the old one, and the guards with it."""
    assert "batch_alter_table" not in file.read_text(encoding="utf-8")

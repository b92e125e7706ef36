"""What every test stands on: the same examples every time, and a real store of each kind.

A gate that draws anew finds faults of yesterday's code in today's change; two busy cores make any
deadline a coin. Search for new examples with `--hypothesis-profile=search`.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from qa.settings import Settings
from qa.store.engine import open_engine
from qa.store.migrating import migrate_to_head
from qa.store.store import Store
from tests.postgres import PostgresServer, postgres_server

if TYPE_CHECKING:
    from qa.services.installation import Installation

settings.register_profile("gate", derandomize=True, deadline=None, database=None, print_blob=True)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile("gate")

DATABASES = ("sqlite", "postgresql")


@pytest.fixture(scope="session")
def postgres() -> Iterator[PostgresServer]:
    """The one PostgreSQL of these tests."""
    with postgres_server() as server:
        yield server


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite file migrated once, to be copied."""
    path = tmp_path_factory.mktemp("migrated") / "laidtrue.db"
    engine = open_engine(f"sqlite:///{path}")
    migrate_to_head(engine)
    engine.dispose()
    return path


@pytest.fixture(params=DATABASES)
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a migrated database of the test's own, once on each kind."""
    if request.param == "postgresql":
        server: PostgresServer = request.getfixturevalue("postgres")
        with server.database() as url:
            yield url
    else:
        path = tmp_path / "laidtrue.db"
        shutil.copyfile(request.getfixturevalue("migrated_file"), path)
        yield f"sqlite:///{path}"


@pytest.fixture
def store(database_url: str) -> Iterator[Store]:
    """A migrated store of the test's own, once on each kind of database."""
    engine = open_engine(database_url)
    yield Store(engine=engine)
    engine.dispose()


@pytest.fixture
def installation(database_url: str, tmp_path: Path) -> Iterator[Installation]:
    """An installation of the test's own with nobody in it, once on each kind of database."""
    from qa.services.installation import open_installation  # noqa: PLC0415 - few tests need it

    opened = open_installation(Settings(instance=tmp_path / "instance", database=database_url))
    yield opened
    opened.store.engine.dispose()

"""What the tests of services stand on: an installation on each kind of database."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house import House, open_house


@pytest.fixture
def house(tmp_path: Path, database_url: str) -> Iterator[House]:
    """An installation with two firms."""
    house = open_house(tmp_path / "instance", database_url)
    yield house
    house.installation.store.engine.dispose()

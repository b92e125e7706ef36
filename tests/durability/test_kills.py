"""Workers killed again and again: what they acknowledged is there, once."""

from __future__ import annotations

import os
from pathlib import Path

from tests.durability.recorder import run_module
from tests.durability.surviving import losses
from tests.house import open_house

KILLS = 30


def test_killed_workers_lose_nothing_that_they_acknowledged(tmp_path: Path) -> None:
    instance = tmp_path / "instance"
    open_house(instance).installation.store.engine.dispose()
    told = run_module("killed_worker", [str(instance), str(KILLS)], dict(os.environ))
    acknowledged = told.split()
    assert len(acknowledged) > 10 * KILLS
    assert len(set(acknowledged)) == len(acknowledged)
    assert losses(instance, frozenset(acknowledged)) == []

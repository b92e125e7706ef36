"""A disk that is full or broken, at every single call that a recording makes of it."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.durability.recorder import build_recorder, run_module
from tests.durability.surviving import losses
from tests.house import open_house


@pytest.mark.parametrize("error", ["ENOSPC", "EIO"])
def test_a_fault_at_any_call_acknowledges_nothing_falsely(tmp_path: Path, error: str) -> None:
    instance, acknowledged = tmp_path / "instance", tmp_path / "acknowledged"
    open_house(instance).installation.store.engine.dispose()
    environment = {
        **os.environ,
        "LD_PRELOAD": str(build_recorder(tmp_path)),
        "LAID_DISK_ROOT": str(instance),
    }
    told = run_module("faulty_worker", [str(instance), str(acknowledged), error], environment)
    *complaints, (_, failed) = (line.split(" ", 1) for line in told.splitlines())
    assert complaints == []
    assert int(failed) > 100
    assert losses(instance, frozenset(acknowledged.read_text().split())) == []
    shutil.rmtree(instance)

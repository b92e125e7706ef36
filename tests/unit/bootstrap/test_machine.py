"""The machine is asked for programs by name, by path, and by path with any version."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.bootstrap.machine import program_at


@pytest.fixture
def versions(tmp_path: Path) -> Path:
    """Three versions of a program, one of which cannot be run."""
    for version, mode in (("9", 0o755), ("15", 0o755), ("17", 0o644)):
        program = tmp_path / version / "bin" / "serve"
        program.parent.mkdir(parents=True)
        program.write_text("#!/bin/sh\n")
        program.chmod(mode)
    return tmp_path


def test_newest_version_that_runs_is_found(versions: Path) -> None:
    assert program_at(f"{versions}/*/bin/serve") == versions / "15" / "bin" / "serve"


def test_path_that_leads_nowhere_finds_nothing(versions: Path) -> None:
    assert program_at(f"{versions}/*/bin/other") is None
    assert program_at(f"{versions}/15/bin/other") is None


def test_program_on_the_path_is_found(versions: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(versions / "9" / "bin"))
    assert program_at("serve") == versions / "9" / "bin" / "serve"

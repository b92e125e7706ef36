"""The stamp fits an environment to the locks, and to nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.bootstrap.lock import (
    DEVELOPMENT,
    RUNTIME,
    UNFINISHED,
    Pin,
    is_stamped,
    pins,
    stamp,
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return _checkout(tmp_path / "checkout")


def _checkout(root: Path) -> Path:
    (root / ".lock").mkdir(parents=True)
    RUNTIME.path(root).write_text("click==8.2.0\n")
    DEVELOPMENT.path(root).write_text("click==8.2.0\npytest==9.1.0\n")
    return root


def test_stamp_fits_the_lock_installed(root: Path) -> None:
    assert is_stamped(stamp(RUNTIME, root, "launcher"), RUNTIME, root, "launcher")


def test_stamp_does_not_fit_a_changed_lock(root: Path) -> None:
    before = stamp(RUNTIME, root, "launcher")
    RUNTIME.path(root).write_text("click==8.2.1\n")
    assert not is_stamped(before, RUNTIME, root, "launcher")


def test_stamp_does_not_fit_a_moved_checkout(root: Path, tmp_path: Path) -> None:
    elsewhere = _checkout(tmp_path / "elsewhere")
    assert not is_stamped(stamp(RUNTIME, root, "launcher"), RUNTIME, elsewhere, "launcher")


def test_stamp_does_not_fit_another_launcher(root: Path) -> None:
    assert not is_stamped(stamp(RUNTIME, root, "launcher"), RUNTIME, root, "new launcher")


def test_development_stamp_fits_runtime_too(root: Path) -> None:
    assert is_stamped(stamp(DEVELOPMENT, root, "launcher"), RUNTIME, root, "launcher")


def test_runtime_stamp_does_not_fit_development(root: Path) -> None:
    assert not is_stamped(stamp(RUNTIME, root, "launcher"), DEVELOPMENT, root, "launcher")


def test_unfinished_stamp_fits_no_lock(root: Path) -> None:
    assert not is_stamped(UNFINISHED, RUNTIME, root, "launcher")


def test_pins_are_read_past_digests_and_markers() -> None:
    text = (
        "# a comment\n"
        "numpy==2.4.6 ; python_full_version < '3.12' \\\n    --hash=sha256:00\n    # via scipy\n"
        "click==8.2.0 \\\n    --hash=sha256:11\n"
    )
    assert pins(text) == (
        Pin(package="numpy", version="2.4.6"),
        Pin(package="click", version="8.2.0"),
    )

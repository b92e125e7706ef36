"""A copy is found whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from qa.photos.copy_files import find_copy, write_copy

ORIGINAL = "ab" * 32


def test_copy_written_is_found(tmp_path: Path) -> None:
    path = write_copy(tmp_path / "new", ORIGINAL, "print-1", b"picture")
    assert path == find_copy(tmp_path / "new", ORIGINAL, "print-1")
    assert path.read_bytes() == b"picture"


@pytest.mark.parametrize("stem", ["list-1", "print-2", "print"])
def test_other_size_or_recipe_is_not_found(tmp_path: Path, stem: str) -> None:
    write_copy(tmp_path, ORIGINAL, "print-1", b"picture")
    assert find_copy(tmp_path, ORIGINAL, stem) is None


@pytest.mark.parametrize("content", [b"", b"pictur", b"pictuRe", b"picture "])
def test_altered_copy_is_not_found(tmp_path: Path, content: bytes) -> None:
    write_copy(tmp_path, ORIGINAL, "print-1", b"picture").write_bytes(content)
    assert find_copy(tmp_path, ORIGINAL, "print-1") is None


def test_folder_in_the_place_of_a_copy_is_not_found(tmp_path: Path) -> None:
    path = write_copy(tmp_path, ORIGINAL, "print-1", b"picture")
    path.unlink()
    path.mkdir()
    assert find_copy(tmp_path, ORIGINAL, "print-1") is None


@pytest.mark.parametrize("digest", ["", "../../etc", "AB" * 32, "ab" * 31])
def test_only_a_digest_becomes_a_path(tmp_path: Path, digest: str) -> None:
    with pytest.raises(ValueError, match="is not a SHA-256"):
        find_copy(tmp_path, digest, "print-1")


def test_failed_write_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full_disk(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(OSError, match="No space left"):
        write_copy(tmp_path, ORIGINAL, "print-1", b"picture")
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []

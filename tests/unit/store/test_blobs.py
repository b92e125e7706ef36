from __future__ import annotations

import hashlib
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from qa.errors import StoreError
from qa.store.blobs import BlobStore

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
WORDS = b"a photograph, as far as a folder can tell"


@pytest.fixture
def blobs(tmp_path: Path) -> BlobStore:
    return BlobStore(tmp_path / "originals")


def _files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_bytes_lie_under_their_own_digest(blobs: BlobStore, tmp_path: Path) -> None:
    blob = blobs.put(WORDS)
    digest = hashlib.sha256(WORDS).hexdigest()
    assert (blob.sha256, blob.bytes) == (digest, len(WORDS))
    assert _files(tmp_path) == [tmp_path / "originals" / digest[:2] / digest[2:4] / digest]
    assert blobs.path(digest).read_bytes() == WORDS


@pytest.mark.parametrize("length", [0, 1, 1024 * 1024, 1024 * 1024 + 1, 5 * 1024 * 1024 + 3])
def test_a_file_of_any_length_is_kept_whole(blobs: BlobStore, tmp_path: Path, length: int) -> None:
    source = tmp_path / "source"
    source.write_bytes(os.urandom(length))
    blob = blobs.put(source)
    assert blob.bytes == length == blobs.size(blob.sha256)
    with blobs.open(blob.sha256) as kept:
        assert kept.read() == source.read_bytes()


def test_the_same_bytes_are_kept_once(blobs: BlobStore, tmp_path: Path) -> None:
    assert blobs.put(WORDS) == blobs.put(WORDS)
    assert len(_files(tmp_path)) == 1


def test_another_digest_than_stated_keeps_nothing(blobs: BlobStore, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="nothing was kept"):
        blobs.put(WORDS, sha256="0" * 64)
    assert _files(tmp_path) == []


def test_a_source_that_cannot_be_read_keeps_nothing(blobs: BlobStore, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="No such file"):
        blobs.put(tmp_path / "nowhere")
    assert _files(tmp_path) == []


def test_a_damaged_file_is_mended_by_its_twin(blobs: BlobStore) -> None:
    digest = blobs.put(WORDS).sha256
    blobs.path(digest).write_bytes(WORDS[:-1])
    blobs.put(WORDS)
    assert blobs.path(digest).read_bytes() == WORDS


def test_a_walk_names_every_damaged_file(blobs: BlobStore) -> None:
    kept = [blobs.put(f"photo {number}".encode()).sha256 for number in range(5)]
    assert list(blobs.digests()) == sorted(kept)
    assert list(blobs.damaged()) == []
    blobs.path(kept[2]).write_bytes(b"photo X")
    blobs.path(kept[4]).write_bytes(b"")
    damaged = {each.path.name for each in blobs.damaged()}
    assert damaged == {kept[2], kept[4]}


def test_what_was_deleted_is_gone(blobs: BlobStore) -> None:
    digest = blobs.put(WORDS).sha256
    assert blobs.exists(digest)
    blobs.delete(digest)
    blobs.delete(digest)
    assert not blobs.exists(digest)
    with pytest.raises(StoreError, match="restore it"):
        blobs.path(digest)


def test_what_is_no_digest_becomes_no_path(blobs: BlobStore) -> None:
    for name in ("../../etc/passwd", "", "A" * 64, "0" * 63):
        with pytest.raises(ValueError, match="not a SHA-256"):
            blobs.path(name)


def test_a_half_copied_file_is_swept_in_time(blobs: BlobStore, tmp_path: Path) -> None:
    left = tmp_path / "originals" / "arriving" / "0f#1"
    left.write_bytes(b"half")
    os.utime(left, (NOON.timestamp(), NOON.timestamp()))
    assert blobs.sweep(before=NOON) == 0
    assert blobs.sweep(before=NOON + timedelta(seconds=1)) == 1
    assert _files(tmp_path) == []

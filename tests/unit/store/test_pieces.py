from __future__ import annotations

import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from qa.errors import ConflictError, StoreError
from qa.store.pieces import Pieces

FOREVER = datetime(2999, 1, 1, tzinfo=UTC)
UPLOAD = "0196b1c2-0000-7000-8000-000000000001"


@pytest.fixture
def pieces(tmp_path: Path) -> Pieces:
    return Pieces(tmp_path / "arriving")


def test_pieces_follow_each_other(pieces: Pieces) -> None:
    pieces.begin(UPLOAD)
    assert pieces.arrived_bytes(UPLOAD) == 0
    assert pieces.append(UPLOAD, b"first ", offset=0) == 6
    assert pieces.append(UPLOAD, b"second", offset=6) == 12
    assert pieces.path(UPLOAD).read_bytes() == b"first second"


@pytest.mark.parametrize("offset", [0, 5, 7, 100])
def test_a_piece_elsewhere_adds_nothing(pieces: Pieces, offset: int) -> None:
    pieces.append(UPLOAD, b"first ", offset=0)
    with pytest.raises(ConflictError, match="6 bytes"):
        pieces.append(UPLOAD, b"second", offset=offset)
    assert pieces.arrived_bytes(UPLOAD) == 6


def test_the_same_piece_from_two_tabs_is_added_once(pieces: Pieces) -> None:
    outcomes: list[str] = []

    def send() -> None:
        try:
            pieces.append(UPLOAD, b"piece", offset=0)
            outcomes.append("added")
        except ConflictError:
            outcomes.append("refused")

    tabs = [threading.Thread(target=send) for _ in range(8)]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()
    assert sorted(outcomes) == ["added"] + ["refused"] * 7
    assert pieces.path(UPLOAD).read_bytes() == b"piece"


def test_beginning_again_keeps_what_arrived(pieces: Pieces) -> None:
    pieces.append(UPLOAD, b"first ", offset=0)
    pieces.begin(UPLOAD)
    assert pieces.arrived_bytes(UPLOAD) == 6


def test_what_was_dropped_is_gone(pieces: Pieces) -> None:
    pieces.begin(UPLOAD)
    assert list(pieces.ids(before=FOREVER)) == [UPLOAD]
    pieces.drop(UPLOAD)
    pieces.drop(UPLOAD)
    assert list(pieces.ids(before=FOREVER)) == []
    assert pieces.arrived_bytes(UPLOAD) == 0


def test_what_is_no_id_becomes_no_path(pieces: Pieces) -> None:
    for name in ("../secret", "", "x" * 36):
        with pytest.raises(ValueError, match="no id"):
            pieces.path(name)


def test_a_folder_that_takes_nothing_is_told(pieces: Pieces, tmp_path: Path) -> None:
    (tmp_path / "arriving").rmdir()
    with pytest.raises(StoreError, match="sends the rest again"):
        pieces.begin(UPLOAD)


def test_a_copy_lasts_as_long_as_it_is_needed(pieces: Pieces) -> None:
    with pieces.copied([b"one ", b"go"]) as path:
        assert path.read_bytes() == b"one go"
    assert not path.exists()

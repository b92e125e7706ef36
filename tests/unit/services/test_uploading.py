from __future__ import annotations

import hashlib
import os
from datetime import timedelta
from pathlib import Path

import pytest

from qa.errors import ConflictError, NotAllowedError, NotFoundError, PhotoError, TooLargeError
from qa.services.access import Actor, Role
from qa.services.originals import PHOTO_LIMIT_BYTES, hand_in
from qa.services.uploading import (
    STALE_AFTER,
    UploadState,
    begin_upload,
    sweep_uploads,
    take_piece,
    upload_state,
)
from qa.store.originals import find_original
from tests.house import NOON, House, jpeg

PHOTO = jpeg(1, size_px=(320, 240))
SHA256 = hashlib.sha256(PHOTO).hexdigest()
PIECE = 1000


def _begin(house: House, actor: Actor, content: bytes = PHOTO) -> UploadState:
    digest = hashlib.sha256(content).hexdigest()
    return begin_upload(
        house.installation, actor, sha256=digest, length=len(content), name="deck.jpg", now=NOON
    )


def _send(house: House, state: UploadState, content: bytes, actor: Actor) -> UploadState:
    for offset in range(state.arrived_bytes, len(content), PIECE):
        piece = content[offset : offset + PIECE]
        state = take_piece(house.installation, actor, state.id, piece, offset=offset, now=NOON)
    return state


def _arriving(house: House) -> list[Path]:
    return list(house.installation.settings.arriving.iterdir())


def test_a_photo_in_pieces_is_taken_in_whole(house: House) -> None:
    assert len(PHOTO) > PIECE
    state = _send(house, _begin(house, house.ines), PHOTO, house.ines)
    assert (state.is_finished, state.arrived_bytes) == (True, len(PHOTO))
    assert house.installation.originals.path(SHA256).read_bytes() == PHOTO
    with house.installation.store.reading() as session:
        assert find_original(session, SHA256, firm_id="firm-1") is not None
    assert _arriving(house) == []


def test_an_upload_goes_on_where_it_broke_off(house: House) -> None:
    begun = _begin(house, house.ines)
    take_piece(house.installation, house.ines, begun.id, PHOTO[:700], offset=0, now=NOON)
    again = _begin(house, house.ines)
    assert (again.id, again.arrived_bytes) == (begun.id, 700)
    assert upload_state(house.installation, house.ines, begun.id) == again
    assert _send(house, again, PHOTO, house.ines).is_finished


def test_a_wrong_offset_is_refused_with_the_right_one(house: House) -> None:
    begun = _begin(house, house.ines)
    with pytest.raises(ConflictError, match="0 bytes"):
        take_piece(house.installation, house.ines, begun.id, b"x", offset=5, now=NOON)


def test_a_photo_that_the_firm_has_is_finished_at_once(house: House, tmp_path: Path) -> None:
    path = tmp_path / "deck.jpg"
    path.write_bytes(PHOTO)
    hand_in(house.installation, house.omar, path, name="deck.jpg", now=NOON)
    assert _begin(house, house.ines).is_finished


def test_nobody_learns_that_another_firm_has_the_photo(house: House) -> None:
    _send(house, _begin(house, house.ines), PHOTO, house.ines)
    state = _begin(house, house.rival)
    assert (state.is_finished, state.arrived_bytes) == (False, 0)
    assert _send(house, state, PHOTO, house.rival).is_finished


def test_an_upload_is_its_persons_own(house: House) -> None:
    begun = _begin(house, house.ines)
    for actor in (house.omar, house.rival):
        with pytest.raises(NotFoundError):
            upload_state(house.installation, actor, begun.id)
        with pytest.raises(NotFoundError):
            take_piece(house.installation, actor, begun.id, b"x", offset=0, now=NOON)


def test_a_photo_that_changed_on_its_way_is_dropped(house: House) -> None:
    begun = _begin(house, house.ines)
    changed = PHOTO[:-1] + b"\x00"
    with pytest.raises(PhotoError, match="changed on its way"):
        _send(house, begun, changed, house.ines)
    _assert_dropped(house, begun)


def test_what_is_no_photo_is_dropped_whole(house: House) -> None:
    begun = _begin(house, house.ines, b"<html>")
    with pytest.raises(PhotoError, match=r"deck\.jpg"):
        _send(house, begun, b"<html>", house.ines)
    _assert_dropped(house, begun)


def _assert_dropped(house: House, begun: UploadState) -> None:
    with pytest.raises(NotFoundError):
        upload_state(house.installation, house.ines, begun.id)
    assert _arriving(house) == []
    assert list(house.installation.originals.digests()) == []


def test_more_than_was_announced_is_refused(house: House) -> None:
    begun = _begin(house, house.ines)
    with pytest.raises(TooLargeError, match="was announced"):
        take_piece(house.installation, house.ines, begun.id, PHOTO + b"x", offset=0, now=NOON)
    assert upload_state(house.installation, house.ines, begun.id).arrived_bytes == 0


@pytest.mark.parametrize(
    ("sha256", "length", "error"),
    [
        ("", 10, PhotoError),
        ("A" * 64, 10, PhotoError),
        (SHA256, 0, PhotoError),
        (SHA256, -1, PhotoError),
        (SHA256, PHOTO_LIMIT_BYTES + 1, TooLargeError),
    ],
)
def test_an_upload_that_cannot_be_is_not_begun(
    house: House, sha256: str, length: int, error: type[Exception]
) -> None:
    with pytest.raises(error):
        begin_upload(
            house.installation, house.ines, sha256=sha256, length=length, name="x.jpg", now=NOON
        )
    assert _arriving(house) == []


def test_a_photo_that_waits_whole_is_taken_in_by_an_empty_piece(house: House) -> None:
    begun = _begin(house, house.ines)
    # As a full disk leaves it: all has arrived and nothing was taken in.
    house.installation.pieces.append(begun.id, PHOTO, offset=0)
    for _ in range(2):
        state = take_piece(
            house.installation, house.ines, begun.id, b"", offset=len(PHOTO), now=NOON
        )
        assert state.is_finished
    with pytest.raises(ConflictError, match="arrived whole"):
        take_piece(house.installation, house.ines, begun.id, b"x", offset=0, now=NOON)


def test_uploads_are_swept_after_a_week(house: House) -> None:
    begun = _begin(house, house.ines)
    stray = house.installation.settings.arriving / "0196b1c2-0000-7000-8000-00000000dead"
    stray.touch()
    os.utime(stray, (NOON.timestamp() - 1, NOON.timestamp() - 1))
    assert sweep_uploads(house.installation, now=NOON + STALE_AFTER) == 1
    assert upload_state(house.installation, house.ines, begun.id).arrived_bytes == 0
    later = NOON + STALE_AFTER + timedelta(seconds=1)
    assert sweep_uploads(house.installation, now=later) == 1
    with pytest.raises(NotFoundError):
        upload_state(house.installation, house.ines, begun.id)
    assert _arriving(house) == []


def test_office_sends_no_photos(house: House) -> None:
    office = Actor(
        firm_id="firm-1", person_id="o", key="o", name="O", roles=frozenset({Role.OFFICE})
    )
    with pytest.raises(NotAllowedError):
        _begin(house, office)

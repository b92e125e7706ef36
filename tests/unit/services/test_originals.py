from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest

from qa.errors import NotAllowedError, NotFoundError, PhotoError, StoreError, TooLargeError
from qa.photos.renditions import Size
from qa.services.access import Actor, Role
from qa.services.delivery import work_all
from qa.services.originals import (
    PHOTO_LIMIT_BYTES,
    erase_original,
    hand_in,
    original_path,
    rendition_path,
)
from qa.store.originals import find_original
from qa.store.outbox import tasks
from qa.store.tables import JobRow, OriginalRow, PhotoRow
from tests.house import NOON, House, jpeg


def _hand_in(house: House, actor: Actor, shade: int = 1) -> str:
    photo = hand_in(house.installation, actor, io.BytesIO(jpeg(shade)), name="deck.jpg", now=NOON)
    return photo.sha256


def _show(house: House, firm_id: str, sha256: str, job_id: str = "job-1") -> str:
    """A job of the firm whose record names the photo."""
    with house.installation.store.writing() as session:
        session.add(
            JobRow(
                id=job_id, firm_id=firm_id, opening_id=job_id, reference=job_id, title="A roof",
                specification="general-grp/1", time_zone="Europe/London", entries=2, head="0" * 64,
                opened_at=NOON, last_received_at=NOON, outside=0,
            )
        )  # fmt: skip
        session.flush()
        session.add(PhotoRow(job_id=job_id, entry_id="e-1", file="photos/1.jpg", sha256=sha256))
    return job_id


def _kept_files(house: House) -> list[Path]:
    folders = (house.installation.settings.originals, house.installation.settings.arriving)
    return [path for folder in folders for path in folder.rglob("*") if path.is_file()]


def test_a_photo_handed_in_is_kept_as_it_came(house: House, tmp_path: Path) -> None:
    path = tmp_path / "deck.jpg"
    path.write_bytes(jpeg(7))
    photo = hand_in(house.installation, house.ines, path, name="deck.jpg", now=NOON)
    assert photo.sha256 == hashlib.sha256(jpeg(7)).hexdigest()
    assert (photo.bytes, photo.media_type) == (len(jpeg(7)), "image/jpeg")
    assert house.installation.originals.path(photo.sha256).read_bytes() == jpeg(7)
    assert path.exists()


def test_a_photo_handed_in_twice_is_one(house: House) -> None:
    assert _hand_in(house, house.ines) == _hand_in(house, house.omar)
    with house.installation.store.reading() as session:
        assert session.query(OriginalRow).count() == 1
        assert [task.task for task in tasks(session)] == ["renditions"]


@pytest.mark.parametrize(
    "content", [b"", b"no photograph", jpeg()[:-20], b"<svg xmlns='http://www.w3.org/2000/svg'/>"]
)
def test_what_is_no_photo_leaves_nothing_behind(house: House, content: bytes) -> None:
    with pytest.raises(PhotoError, match=r"deck\.jpg"):
        hand_in(house.installation, house.ines, io.BytesIO(content), name="deck.jpg", now=NOON)
    assert _kept_files(house) == []
    with house.installation.store.reading() as session:
        assert session.query(OriginalRow).count() == 0


def test_a_photo_beyond_the_limit_is_refused(house: House, tmp_path: Path) -> None:
    path = tmp_path / "film.jpg"
    with path.open("wb") as file:
        file.truncate(PHOTO_LIMIT_BYTES + 1)
    for source in (path, path.open("rb")):
        with pytest.raises(TooLargeError, match="64 MB are taken"):
            hand_in(house.installation, house.ines, source, name="film.jpg", now=NOON)
    assert _kept_files(house) == []
    source.close()


def test_office_hands_no_photos_in(house: House) -> None:
    office = Actor(
        firm_id="firm-1", person_id="o", key="o", name="O", roles=frozenset({Role.OFFICE})
    )
    with pytest.raises(NotAllowedError):
        _hand_in(house, office)


def test_a_photo_is_shown_to_its_own_firm_only(house: House) -> None:
    sha256 = _hand_in(house, house.ines)
    job_id = _show(house, "firm-1", sha256)
    path = original_path(house.installation, house.omar, job_id, sha256)
    assert path.read_bytes() == jpeg(1)
    _hand_in(house, house.rival)
    for actor, job in ((house.rival, job_id), (house.ines, "job-2")):
        with pytest.raises(NotFoundError):
            original_path(house.installation, actor, job, sha256)


def test_a_photo_that_no_entry_of_the_job_names_is_not_shown(house: House) -> None:
    job_id = _show(house, "firm-1", _hand_in(house, house.ines))
    with pytest.raises(NotFoundError):
        original_path(house.installation, house.ines, job_id, _hand_in(house, house.ines, 2))


def test_a_copy_is_made_when_it_is_asked_for(house: House) -> None:
    sha256 = _hand_in(house, house.ines)
    job_id = _show(house, "firm-1", sha256)
    path = rendition_path(house.installation, house.ines, job_id, sha256, Size.LIST)
    assert path.read_bytes().startswith(b"\xff\xd8")
    assert rendition_path(house.installation, house.ines, job_id, sha256, Size.LIST) == path


def test_the_background_makes_every_copy_of_a_photo(house: House) -> None:
    _hand_in(house, house.ines)
    assert work_all(house.installation, now=NOON) == 1
    copies = list(house.installation.settings.renditions.rglob("*.jpg"))
    assert len(copies) == len(Size)


def test_an_erased_photo_goes_with_its_copies(house: House) -> None:
    sha256 = _hand_in(house, house.ines)
    work_all(house.installation, now=NOON)
    with house.installation.store.writing() as session:
        erase_original(session, sha256, firm_id="firm-1", now=NOON)
    assert house.installation.originals.exists(sha256)
    work_all(house.installation, now=NOON)
    with pytest.raises(StoreError):
        house.installation.originals.path(sha256)
    assert list(house.installation.settings.renditions.rglob("*.jpg")) == []


def test_an_erasure_spares_what_another_firm_holds(house: House) -> None:
    sha256 = _hand_in(house, house.ines)
    _hand_in(house, house.rival)
    with house.installation.store.writing() as session:
        erase_original(session, sha256, firm_id="firm-1", now=NOON)
        with pytest.raises(NotFoundError):
            erase_original(session, sha256, firm_id="firm-1", now=NOON)
    work_all(house.installation, now=NOON)
    with house.installation.store.reading() as session:
        assert find_original(session, sha256, firm_id="firm-1") is None
        assert find_original(session, sha256, firm_id="firm-2") is not None
    assert house.installation.originals.exists(sha256)


def test_a_photo_handed_in_before_its_file_goes_stays(house: House) -> None:
    sha256 = _hand_in(house, house.ines)
    with house.installation.store.writing() as session:
        erase_original(session, sha256, firm_id="firm-1", now=NOON)
    _hand_in(house, house.rival)
    work_all(house.installation, now=NOON)
    assert house.installation.originals.exists(sha256)

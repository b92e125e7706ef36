"""Photographs that wait to be placed: brought in, placed, left out, dropped."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from qa.errors import NotAllowedError, NotFoundError, RecordError
from qa.services import waiting_photos as waiting
from qa.services.access import Actor, Role
from qa.services.delivery import tidy, work_all
from qa.services.leaving_out import leave_out
from qa.services.originals import hand_in
from qa.services.photo_targets import PhotoTarget
from qa.services.reading import read_job
from qa.services.waiting_photos import WAITS, Placing, bring_in, moment_of, place, waiting_in
from qa.store.originals import find_original
from qa.trade.vocabulary import Stage
from tests.camera import shot
from tests.house import NOON, House
from tests.roof_job import RoofJob

DECK = PhotoTarget(stage=Stage.DECK, area="main")
CLOCK = datetime(2026, 5, 12, 9, 30)  # noqa: DTZ001 - what a camera writes


@pytest.fixture
def job(house: House) -> RoofJob:
    """A job with an area."""
    return RoofJob.equipped(house)


def bring(job: RoofJob, shade: int = 1, taken: datetime | None = CLOCK) -> str:
    """Brings a picture in, and answers its digest."""
    house, actor = job.house.installation, job.house.ines
    photo = hand_in(house, actor, io.BytesIO(shot(shade, taken)), name="a.jpg", now=job.clock)
    bring_in(house, actor, job.id, photo.sha256, name=f"IMG_{shade}.jpg", now=job.clock)
    return photo.sha256


def seen(job: RoofJob) -> waiting.Waiting:
    house, actor = job.house.installation, job.house.ines
    return waiting_in(house, actor, read_job(house, actor, job.id), now=job.clock)


def put(job: RoofJob, target: PhotoTarget = DECK) -> int:
    """Places everything that waits; answers how many entries that made."""
    placings = [Placing(waiting=one.id, target=target) for one in seen(job).photos]
    now = datetime(2026, 6, 1, 12, tzinfo=UTC)
    return len(place(job.house.installation, job.house.ines, job.id, placings, now=now))


def held(job: RoofJob, sha256: str) -> Path | None:
    """The file of an original that the firm holds."""
    house = job.house.installation
    with house.store.reading() as session:
        found = find_original(session, sha256, firm_id=job.house.ines.firm_id)
    return house.originals.path(sha256) if found else None


def test_what_was_placed_is_an_entry_with_the_cameras_time(job: RoofJob) -> None:
    sha256 = bring(job)
    assert read_job(job.house.installation, job.house.ines, job.id).job.photos == ()
    assert put(job) == 1
    (photo,) = read_job(job.house.installation, job.house.ines, job.id).job.photos
    assert (photo.body.sha256, photo.body.area) == (sha256, "main")
    assert photo.at.isoformat() == "2026-05-12T09:30:00+01:00"
    assert seen(job).photos == ()


def test_same_file_twice_is_once(job: RoofJob) -> None:
    bring(job)
    bring(job)
    assert len(seen(job).photos) == 1
    placings = [Placing(waiting=one.id, target=DECK) for one in seen(job).photos] * 2
    house, actor = job.house.installation, job.house.ines
    now = datetime(2026, 6, 1, 12, tzinfo=UTC)
    assert len(place(house, actor, job.id, placings, now=now)) == 1
    assert place(house, actor, job.id, placings, now=now) == ()
    bring(job)
    (again,) = seen(job).photos
    assert again.id in seen(job).held


def test_one_fault_places_nothing(job: RoofJob) -> None:
    bring(job, 1)
    bring(job, 2, None)
    with pytest.raises(RecordError, match=r"IMG_2\.jpg has no time yet"):
        put(job)
    assert len(seen(job).photos) == 2
    assert read_job(job.house.installation, job.house.ines, job.id).job.photos == ()
    one = next(one for one in seen(job).photos if one.name == "IMG_2.jpg")
    waiting.say_of(job.house.installation, job.house.ines, job.id, [one.id], said_at=NOON)
    with pytest.raises(RecordError):
        put(job, PhotoTarget(stage=Stage.DECK, area="nowhere"))
    assert put(job) == 2


def test_clock_that_was_slow_moves_every_photo_and_those_to_come(job: RoofJob) -> None:
    bring(job, 1)
    waiting.set_clock(job.house.installation, job.house.ines, job.id, slow_min=60, now=job.clock)
    bring(job, 2)
    zone = read_job(job.house.installation, job.house.ines, job.id).job.time_zone
    moments = {moment_of(one, zone) for one in seen(job).photos}
    assert moments == {datetime(2026, 5, 12, 9, 30, tzinfo=UTC)}


def test_clock_ahead_of_now_is_not_placed(job: RoofJob) -> None:
    bring(job, 1, datetime(2031, 1, 1, 8))  # noqa: DTZ001 - what a camera writes
    with pytest.raises(RecordError, match="has not been yet"):
        put(job)


def test_left_out_photo_goes_with_its_file(job: RoofJob) -> None:
    kept, out = bring(job, 1), bring(job, 2)
    (wanted,) = [one.id for one in seen(job).photos if one.sha256 == out]
    house, actor = job.house.installation, job.house.ines
    assert leave_out(house, actor, job.id, [wanted, "nonsense"], now=job.clock) == 1
    work_all(house, now=job.clock)
    assert held(job, out) is None
    assert not house.originals.exists(out)
    assert held(job, kept) is not None
    assert [one.sha256 for one in seen(job).photos] == [kept]


def test_file_that_the_record_shows_stays_when_its_copy_is_left_out(job: RoofJob) -> None:
    sha256 = bring(job)
    put(job)
    bring(job)
    house, actor = job.house.installation, job.house.ines
    ids = [one.id for one in seen(job).photos]
    assert leave_out(house, actor, job.id, ids, now=job.clock) == 1
    work_all(house, now=job.clock)
    assert held(job, sha256) is not None


def test_what_nobody_placed_is_dropped_and_told(job: RoofJob) -> None:
    sha256 = bring(job)
    tidy(job.house.installation, now=job.clock + WAITS - timedelta(minutes=1))
    assert len(seen(job).photos) == 1
    job.clock += WAITS
    tidy(job.house.installation, now=job.clock)
    work_all(job.house.installation, now=job.clock)
    assert seen(job).photos == ()
    assert [one.name for one in seen(job).expired] == ["IMG_1.jpg"]
    assert held(job, sha256) is None
    bring(job)
    assert len(seen(job).photos) == 1


def test_no_more_wait_than_may(job: RoofJob, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(waiting, "MOST_WAITING", 2)
    bring(job, 1)
    bring(job, 2)
    with pytest.raises(RecordError, match="2 photos of this job wait"):
        bring(job, 3)
    bring(job, 2)
    assert len(seen(job).photos) == 2


def test_other_firm_and_other_roles_see_and_place_nothing(job: RoofJob) -> None:
    house = job.house
    sha256 = bring(job)
    (one,) = seen(job).photos
    stranger: Actor = house.rival
    office = replace(house.ines, roles=frozenset({Role.OFFICE}))
    for act in (
        lambda: bring_in(house.installation, stranger, job.id, sha256, name="", now=NOON),
        lambda: waiting.waiting_photo(house.installation, stranger, job.id, one.id),
        lambda: place(house.installation, stranger, job.id, (), now=NOON),
        lambda: leave_out(house.installation, stranger, job.id, [one.id], now=NOON),
    ):
        with pytest.raises(NotFoundError):
            act()
    with pytest.raises(NotAllowedError):
        bring_in(house.installation, office, job.id, sha256, name="", now=NOON)


def test_photo_withdrawn_from_the_record_may_come_again(job: RoofJob) -> None:
    bring(job)
    put(job)
    (photo,) = read_job(job.house.installation, job.house.ines, job.id).job.photos
    job.add("correction", by=job.house.ines, corrects=photo.id, reason="Wrong.", body=None)
    bring(job)
    assert put(job) == 1

"""Erasing a person or a photo: gone from the installation, while the chain still holds."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest

from qa.errors import NotAllowedError, NotFoundError
from qa.record.schema import Withheld
from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.erasing import erase
from qa.services.listing import jobs
from qa.services.open_jobs import OpenJobs
from qa.services.originals import hand_in
from qa.services.reading import read_job
from qa.services.rebuilding import rebuild
from qa.services.taking_out import take_out
from tests.house import House, add_person, jpeg
from tests.roof_job import RoofJob

SECRET = "Wilhelmina Neverheardof"


@pytest.fixture
def job(house: House) -> RoofJob:
    """A job of a client whose name occurs nowhere else."""
    crew = [
        {"person": "ines", "name": "Ines Invented", "role": "installer"},
        {"person": "omar", "name": "Omar Invented", "role": "supervisor"},
        {"person": "ona", "name": "Ona Invented", "role": "supervisor"},
    ]
    return RoofJob.started(house, client={"name": SECRET}, crew=crew)


def erase_in(job: RoofJob, who: object, **what: object) -> None:
    asked: dict = {"disclosures": (), "photos": (), **what}
    house = job.house
    identifier = house.installation.new_id()
    erase(
        house.installation,
        who,  # type: ignore[arg-type]
        job.id,
        reason="The client asked for it.",
        entry_id=identifier,
        now=job.clock,
        **asked,
    )


def first_entry(job: RoofJob) -> str:
    read = read_job(job.house.installation, job.house.ines, job.id)
    return read.record.entries[0].id


def test_erased_name_is_gone_and_the_chain_holds(job: RoofJob, house: House) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    erase_in(job, ona, disclosures=((first_entry(job), "/client/name"),))
    house.installation.open_jobs.forget(job.id)
    read = read_job(house.installation, ona, job.id)
    assert isinstance(read.job.opening.body.client.name, Withheld)
    assert read.job.erasures[0].body.reason == "The client asked for it."


def test_erased_name_is_in_no_byte_of_the_database(job: RoofJob, house: House) -> None:
    folder = house.installation.settings.instance
    if not house.installation.settings.database_url.startswith("sqlite"):
        return  # PostgreSQL keeps dead rows until its own vacuum; see the guide for keepers
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    erase_in(job, ona, disclosures=((first_entry(job), "/client/name"),))
    database = Path(house.installation.settings.database_url.removeprefix("sqlite:///"))
    house.installation.store.engine.dispose()
    files = [*folder.rglob("*"), *database.parent.glob(f"{database.name}*")]
    assert not [p for p in files if p.is_file() and SECRET.encode() in p.read_bytes()]


def test_erased_photo_is_gone_and_taken_out_without_it(
    job: RoofJob, house: House, tmp_path: Path
) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    file = hand_in(
        house.installation, house.ines, io.BytesIO(jpeg(4)), name="face.jpg", now=job.clock
    )
    job.add("photo", stage="survey", original=file.sha256)
    erase_in(job, ona, photos=(file.sha256,))
    work_all(house.installation, now=job.clock)
    assert not house.installation.originals.exists(file.sha256)
    take_out(house.installation, house.omar, job.id, tmp_path / "out")
    assert list((tmp_path / "out" / "photos").iterdir()) == []
    assert rebuild(house.installation).changed == ()


def test_photo_that_another_job_shows_is_kept_for_it(job: RoofJob, house: House) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    other = RoofJob.started(house, job="J-2026-015")
    file = hand_in(
        house.installation, house.ines, io.BytesIO(jpeg(5)), name="roof.jpg", now=job.clock
    )
    for one in (job, other):
        one.add("photo", stage="survey", original=file.sha256)
    erase_in(job, ona, photos=(file.sha256,))
    work_all(house.installation, now=job.clock)
    assert house.installation.originals.exists(file.sha256)


def test_photo_that_another_firm_holds_is_kept_for_it(job: RoofJob, house: House) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    for who in (house.ines, house.rival):
        file = hand_in(house.installation, who, io.BytesIO(jpeg(6)), name="a.jpg", now=job.clock)
    job.add("photo", stage="survey", original=file.sha256)
    erase_in(job, ona, photos=(file.sha256,))
    work_all(house.installation, now=job.clock)
    assert house.installation.originals.exists(file.sha256)


def test_list_shows_no_erased_address(job: RoofJob, house: House) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    erase_in(job, ona, disclosures=((first_entry(job), "/site/address"),))
    assert jobs(house.installation, ona)[0].address is None


def test_what_is_not_there_cannot_be_erased(job: RoofJob, house: House) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    with pytest.raises(NotFoundError):
        erase_in(job, ona, disclosures=((first_entry(job), "/client/phone"),))
    with pytest.raises(NotFoundError):
        erase_in(job, ona, photos=("0" * 64,))


def test_installer_erases_nothing(job: RoofJob, house: House) -> None:
    with pytest.raises(NotAllowedError):
        erase_in(job, house.ines, disclosures=((first_entry(job), "/client/name"),))


def test_erasure_by_another_process_leaves_nothing_in_this_ones_memory(
    job: RoofJob, house: House
) -> None:
    ona = add_person(house.installation, "firm-1", "ona", Role.OFFICE)
    other = replace(house.installation, open_jobs=OpenJobs())
    elsewhere = RoofJob(house=replace(house, installation=other), id=job.id, clock=job.clock)
    held = read_job(house.installation, ona, job.id)
    assert held.job.opening.body.client.name == SECRET
    erase_in(elsewhere, ona, disclosures=((first_entry(job), "/client/name"),))
    read = read_job(house.installation, ona, job.id)
    assert isinstance(read.job.opening.body.client.name, Withheld)
    assert SECRET not in {one.value for one in read.record.disclosures}

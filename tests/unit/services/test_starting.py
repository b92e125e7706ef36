"""Starting a job: once, whole, and with a reference of its own."""

from __future__ import annotations

import pytest

from qa.errors import ConflictError, RecordError, SpecificationError
from qa.services.listing import jobs
from qa.services.starting import start_job
from tests.house import NOON, House
from tests.roof_job import RoofJob, opening

SOME_ID = "0196b1c2-0000-7000-8000-000000000001"


def start(house: House, **fields: object) -> str:
    body = opening(**fields)
    return start_job(house.installation, house.ines, body, entry_id=SOME_ID, at=NOON, now=NOON)


def test_started_job_is_listed_with_its_address(house: House) -> None:
    job_id = start(house)
    (listed,) = jobs(house.installation, house.ines)
    assert (listed.id, listed.reference, listed.address) == (
        job_id,
        "J-2026-014",
        "1 Invented Lane",
    )
    assert (listed.stage, listed.outside, listed.waiting) == ("survey", 0, 0)


def test_job_is_listed_in_its_own_firm_only(house: House) -> None:
    start(house)
    assert jobs(house.installation, house.rival) == ()


def test_started_twice_is_one_job(house: House) -> None:
    assert start(house) == start(house)
    assert len(jobs(house.installation, house.ines)) == 1


def test_started_twice_with_another_content_is_refused(house: House) -> None:
    start(house)
    with pytest.raises(ConflictError, match="J-2026-014"):
        start(house, title="Another roof")


def test_reference_of_another_job_is_refused_in_its_field(house: House) -> None:
    RoofJob.started(house)
    with pytest.raises(RecordError) as caught:
        start(house)
    assert caught.value.problems[0].field == "job.job"


def test_same_reference_in_another_firm_is_its_own_job(house: House) -> None:
    RoofJob.started(house)
    crew = [{"person": "rival", "name": "Rival", "role": "supervisor"}]
    body = opening(crew=crew)
    start_job(house.installation, house.rival, body, entry_id=SOME_ID, at=NOON, now=NOON)
    assert len(jobs(house.installation, house.rival)) == 1


def test_unknown_specification_starts_nothing(house: House) -> None:
    with pytest.raises(SpecificationError):
        start(house, specification="nobodys-own/7")
    assert jobs(house.installation, house.ines) == ()

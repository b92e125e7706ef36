"""Signing a stage off: two installers at the same instant leave one signature."""

from __future__ import annotations

import threading

import pytest

from qa.errors import ConflictError
from qa.record.job import Recorded
from qa.record.kinds.decisions import SignOff
from qa.services.access import Actor, Role
from qa.services.installation import Installation, open_installation
from qa.services.reading import read_job
from qa.services.signing_off import sign_stage_off
from tests.house import House, add_person
from tests.roof_job import RoofJob, opening


@pytest.fixture
def job(house: House) -> RoofJob:
    """A job with two installers in its crew."""
    add_person(house.installation, "firm-1", "tam", Role.INSTALLER)
    crew = [*opening()["crew"], {"person": "tam", "name": "Tam Example", "role": "installer"}]
    return RoofJob.started(house, crew=crew)


def tam(house: House) -> Actor:
    return Actor(
        firm_id="firm-1", person_id="firm-1-tam", key="tam", name="Tam",
        roles=frozenset({Role.INSTALLER}),
    )  # fmt: skip


def signed_by(job: RoofJob) -> list[str]:
    read = read_job(job.house.installation, job.house.ines, job.id)
    return [signed.by for signed in read.job.sign_offs]


def sign(job: RoofJob, who: Actor, installation: Installation | None = None) -> None:
    draft = job.draft("sign_off", stage="deck")
    where = installation or job.house.installation
    sign_stage_off(where, who, job.id, draft, second=told, now=job.clock)


def told(signed: Recorded[SignOff]) -> str:
    return f"signed off already, by {signed.by}"


def test_second_installer_is_told_who_signed(house: House, job: RoofJob) -> None:
    sign(job, house.ines)
    with pytest.raises(ConflictError, match="signed off already, by ines"):
        sign(job, tam(house))
    assert signed_by(job) == ["ines"]


def test_stage_is_signed_again_after_more_work(house: House, job: RoofJob) -> None:
    sign(job, house.ines)
    job.add("note", stage="deck")
    job.add("measurement", stage="deck", area=None)
    sign(job, tam(house))
    assert signed_by(job) == ["ines", "tam"]


def test_two_processes_at_the_same_instant_leave_one_signature(house: House, job: RoofJob) -> None:
    other = open_installation(house.installation.settings)
    read_job(other, house.ines, job.id)  # both hold the job in memory, unsigned
    drafts = {key: job.draft("sign_off", stage="deck") for key in ("ines", "tam")}
    start, answers = threading.Barrier(2), dict.fromkeys(drafts, "signed")

    def go(where: Installation, who: Actor) -> None:
        start.wait(20)
        try:
            sign_stage_off(where, who, job.id, drafts[who.key], second=told, now=job.clock)
        except ConflictError:
            answers[who.key] = "refused"

    pairs = ((house.installation, house.ines), (other, tam(house)))
    threads = [threading.Thread(target=go, args=pair) for pair in pairs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    other.store.engine.dispose()
    assert sorted(answers.values()) == ["refused", "signed"]
    assert [answers[key] for key in signed_by(job)] == ["signed"]

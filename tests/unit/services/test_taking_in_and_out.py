"""Job folders into the installation and out of it again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from qa.errors import ConflictError, NotAllowedError, NotFoundError, RecordError
from qa.services.listing import jobs
from qa.services.reading import read_job
from qa.services.taking_in import take_in
from qa.services.taking_out import take_out
from tests.flow.job_folder import small_job, write_job
from tests.house import NOON, House
from tests.roof_job import RoofJob


def content(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_folder_taken_out_and_in_again_is_the_same_folder(house: House, tmp_path: Path) -> None:
    written = write_job(tmp_path / "written", small_job())
    mine = take_in(house.installation, house.omar, written, now=NOON)
    take_out(house.installation, house.omar, mine, tmp_path / "out")
    theirs = take_in(house.installation, house.rival, tmp_path / "out", now=NOON)
    take_out(house.installation, house.rival, theirs, tmp_path / "out-2")
    assert content(tmp_path / "out") == content(tmp_path / "out-2")
    assert "personal.jsonl" in content(tmp_path / "out")


def test_folder_taken_in_twice_is_one_job(house: House, tmp_path: Path) -> None:
    written = write_job(tmp_path / "written", small_job())
    first = take_in(house.installation, house.omar, written, now=NOON)
    assert take_in(house.installation, house.omar, written, now=NOON) == first
    assert len(jobs(house.installation, house.omar)) == 1


def test_older_folder_of_a_grown_job_is_the_same_job(house: House, tmp_path: Path) -> None:
    job = RoofJob.equipped(house)
    take_out(house.installation, house.omar, job.id, tmp_path / "out")
    job.add("conditions", deck_c=13)
    assert take_in(house.installation, house.omar, tmp_path / "out", now=NOON) == job.id
    assert len(read_job(house.installation, house.omar, job.id).record.entries) == 5


def test_another_record_of_the_same_job_is_refused(house: House, tmp_path: Path) -> None:
    job = RoofJob.equipped(house)
    take_out(house.installation, house.omar, job.id, tmp_path / "out")
    job.add("conditions", deck_c=13)
    take_out(house.installation, house.omar, job.id, tmp_path / "longer")
    there = take_in(house.installation, house.rival, tmp_path / "out", now=NOON)
    with pytest.raises(ConflictError, match="another record"):
        take_in(house.installation, house.rival, tmp_path / "longer", now=NOON)
    assert len(read_job(house.installation, house.rival, there).record.entries) == 4


def test_changed_entry_is_refused_and_nothing_is_kept(house: House, tmp_path: Path) -> None:
    job = RoofJob.equipped(house)
    take_out(house.installation, house.omar, job.id, tmp_path / "out")
    record = tmp_path / "out" / "record.jsonl"
    record.write_text(record.read_text(encoding="utf-8").replace("R 1204", "R 1205"), "utf-8")
    with pytest.raises(RecordError, match="chain does not hold"):
        take_in(house.installation, house.rival, tmp_path / "out", now=NOON)
    assert jobs(house.installation, house.rival) == ()


def test_installer_takes_nothing_in_or_out(house: House, tmp_path: Path) -> None:
    job = RoofJob.equipped(house)
    with pytest.raises(NotAllowedError):
        take_out(house.installation, house.ines, job.id, tmp_path / "out")
    with pytest.raises(NotAllowedError):
        take_in(house.installation, house.ines, tmp_path, now=NOON)


def test_job_of_another_firm_is_not_taken_out(house: House, tmp_path: Path) -> None:
    job = RoofJob.equipped(house)
    with pytest.raises(NotFoundError):
        take_out(house.installation, house.rival, job.id, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_folder_is_read_by_a_fresh_installation_memory(house: House, tmp_path: Path) -> None:
    written = write_job(tmp_path / "written", small_job())
    job_id = take_in(house.installation, house.omar, written, now=NOON)
    fresh = replace(house.installation, open_jobs=type(house.installation.open_jobs)())
    here, there = (read_job(one, house.omar, job_id) for one in (house.installation, fresh))
    assert here.assessment == there.assessment

"""A folder carries the specification that its job pins, into firms that do not know it."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from qa.errors import SpecificationError
from qa.services.assessing import assess_folder
from qa.services.folder_zip import unzip, zip_out
from qa.services.listing import jobs
from qa.services.reading import read_job
from qa.services.specifications import make_version, offered_versions, read_version
from qa.services.taking_in import brought_along, take_in
from qa.services.taking_out import take_out
from tests.house import NOON, House
from tests.roof_job import RoofJob
from tests.specifications import firm_file, with_limit

OURS = with_limit(firm_file(), "check.deck.moisture", "upper", "16")
CARRIED = "specification.toml"


def taken_out(house: House, tmp_path: Path, *, pins: str = "our-limits/1") -> Path:
    """The folder of a job that the first firm judges by limits of its own."""
    make_version(house.installation, house.omar, OURS, note="", now=NOON)
    job = RoofJob.started(house, specification=pins)
    take_out(house.installation, house.omar, job.id, tmp_path / "out")
    return tmp_path / "out"


def test_folder_carries_the_firms_own_byte_by_byte(house: House, tmp_path: Path) -> None:
    assert (taken_out(house, tmp_path) / CARRIED).read_bytes() == OURS


def test_folder_of_a_built_in_one_carries_none(house: House, tmp_path: Path) -> None:
    assert not (taken_out(house, tmp_path, pins="general-grp/1") / CARRIED).exists()


def test_unknown_one_is_kept_with_the_job_that_brought_it(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path)
    job = take_in(house.installation, house.rival, folder, now=NOON)
    assert read_job(house.installation, house.rival, job).specification_bytes == OURS
    assert brought_along(house.installation, firm_id="firm-2", job_id=job) == "our-limits/1"
    offered = offered_versions(house.installation, house.rival)[0]
    assert (offered.name, offered.came_with) == ("our-limits/1", "J-2026-014")
    take_out(house.installation, house.rival, job, tmp_path / "again")
    assert (tmp_path / "again" / CARRIED).read_bytes() == OURS


def test_known_one_is_not_said_to_have_come(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path)
    make_version(house.installation, house.rival, OURS, note="", now=NOON)
    job = take_in(house.installation, house.rival, folder, now=NOON)
    assert brought_along(house.installation, firm_id="firm-2", job_id=job) is None


def test_known_name_with_other_content_takes_nothing_in(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path)
    make_version(house.installation, house.rival, firm_file(), note="", now=NOON)
    with pytest.raises(SpecificationError, match="known here with other content: SHA-256"):
        take_in(house.installation, house.rival, folder, now=NOON)
    assert jobs(house.installation, house.rival) == ()
    held = read_version(house.installation, house.rival, "our-limits", 1)
    assert held.content == firm_file()


def test_older_folder_without_one_asks_for_it(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path)
    (folder / CARRIED).unlink()
    with pytest.raises(SpecificationError, match="nor one of the firm’s"):
        take_in(house.installation, house.rival, folder, now=NOON)
    make_version(house.installation, house.rival, OURS, note="", now=NOON)
    assert take_in(house.installation, house.rival, folder, now=NOON)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (firm_file("another/1"), "it is another/1, and the job pins our-limits/1"),
        (b"name = ", "not TOML"),
        (b"\xff", "UTF-8"),
        (with_limit(OURS, "check.deck.moisture", "source", '""'), "source is empty"),
    ],
)
def test_faulty_one_takes_nothing_in(
    house: House, tmp_path: Path, content: bytes, words: str
) -> None:
    folder = taken_out(house, tmp_path)
    (folder / CARRIED).write_bytes(content)
    with pytest.raises(SpecificationError, match=words):
        take_in(house.installation, house.rival, folder, now=NOON)
    assert jobs(house.installation, house.rival) == ()
    assert len(offered_versions(house.installation, house.rival)) == 1


def test_zip_carries_it_too(house: House, tmp_path: Path) -> None:
    make_version(house.installation, house.omar, OURS, note="", now=NOON)
    job = RoofJob.started(house, specification="our-limits/1")
    out = io.BytesIO()
    zip_out(house.installation, house.omar, job.id, out)
    (tmp_path / "in").mkdir()
    unzip(out, tmp_path / "in")
    assert (tmp_path / "in" / CARRIED).read_bytes() == OURS
    assert take_in(house.installation, house.rival, tmp_path / "in", now=NOON)


def test_folder_is_judged_by_what_it_carries(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path)
    assert assess_folder(folder).specification == "our-limits/1"
    (folder / CARRIED).unlink()
    with pytest.raises(SpecificationError, match=r"--specification, or put it into the folder"):
        assess_folder(folder)


def test_built_in_name_with_other_content_judges_nothing(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path, pins="general-grp/1")
    (folder / CARRIED).write_bytes(firm_file("general-grp/1", title='"Mine"'))
    with pytest.raises(SpecificationError, match="known here with other content"):
        assess_folder(folder)


def test_given_file_goes_before_the_carried_one(house: House, tmp_path: Path) -> None:
    folder = taken_out(house, tmp_path)
    (folder / CARRIED).write_bytes(b"none")
    given = tmp_path / "given.toml"
    given.write_bytes(OURS)
    assert assess_folder(folder, specification=given).specification == "our-limits/1"

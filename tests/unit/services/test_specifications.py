"""Specifications of firms: kept for good, pinned by jobs, seen by their own firm only."""

from __future__ import annotations

import hashlib

import pytest

from qa.errors import ConflictError, NotAllowedError, NotFoundError, SpecificationError
from qa.services.reading import read_job
from qa.services.specifications import (
    LARGEST_BYTES,
    OfferedVersion,
    make_version,
    offered_versions,
    read_version,
)
from tests.house import NOON, House
from tests.roof_job import RoofJob
from tests.specifications import firm_file, with_limit

OURS = with_limit(firm_file(), "check.deck.moisture", "upper", "16")


def make(house: House, content: bytes = OURS) -> OfferedVersion:
    return make_version(house.installation, house.omar, content, note="Our sheet.", now=NOON)


def test_kept_version_is_offered_beside_the_built_in(house: House) -> None:
    made = make(house)
    offered = offered_versions(house.installation, house.ines)
    assert [one.name for one in offered] == ["our-limits/1", "general-grp/1"]
    assert offered[0] == made
    assert (made.made_by, made.made_at, made.note) == ("Omar", NOON, "Our sheet.")
    assert made.sha256 == hashlib.sha256(OURS).hexdigest()


def test_version_reads_back_byte_by_byte(house: House) -> None:
    make(house)
    held = read_version(house.installation, house.ines, "our-limits", 1)
    assert held.content == OURS
    assert held.specification.checks["deck.moisture"].limits.upper == 16


def test_job_is_judged_by_the_version_that_it_pins(house: House) -> None:
    make(house)
    job = RoofJob.started(house, specification="our-limits/1")
    house.installation.open_jobs.forget(job.id)
    read = read_job(house.installation, house.ines, job.id)
    assert read.specification_bytes == OURS
    assert read.assessment.specification == "our-limits/1"


def test_later_version_leaves_a_pinned_one_where_it_is(house: House) -> None:
    make(house)
    job = RoofJob.started(house, specification="our-limits/1")
    make(house, firm_file("our-limits/2"))
    house.installation.open_jobs.forget(job.id)
    assert read_job(house.installation, house.ines, job.id).specification_bytes == OURS


def test_same_file_twice_is_one_version(house: House) -> None:
    assert make(house) == make(house)
    assert len(offered_versions(house.installation, house.omar)) == 2


def test_another_file_of_the_same_name_is_refused(house: House) -> None:
    make(house)
    with pytest.raises(ConflictError, match="next version"):
        make(house, firm_file())


def test_another_firm_sees_and_pins_nothing_of_it(house: House) -> None:
    make(house)
    assert [one.name for one in offered_versions(house.installation, house.rival)] == [
        "general-grp/1"
    ]
    with pytest.raises(NotFoundError):
        read_version(house.installation, house.rival, "our-limits", 1)


def test_installer_makes_no_version(house: House) -> None:
    with pytest.raises(NotAllowedError, match="owner or supervisor"):
        make_version(house.installation, house.ines, OURS, note="", now=NOON)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (firm_file("general-grp/2"), "brings along"),
        (firm_file("our-limits/10000"), "up to 9999"),
        (firm_file(f"{'a' * 61}/1"), "at most 60 letters"),
        (b" " * (LARGEST_BYTES + 1), "1 MB"),
        (b"# large\n" * 700_000, "1 MB"),
        (b"\xff", "UTF-8"),
        (b"name = ", "not TOML"),
        (with_limit(OURS, "check.deck.moisture", "source", '""'), "source is empty"),
        (OURS.replace(b"from_c = 13, to_c = 16", b"from_c = 14, to_c = 16"), "hole from 13 to 14"),
        (OURS.replace(b"from_c = 13, to_c = 16", b"from_c = 12, to_c = 16"), "from 12 to 13"),
    ],
)
def test_file_with_a_fault_is_refused_in_words(house: House, content: bytes, words: str) -> None:
    with pytest.raises(SpecificationError, match=words):
        make(house, content)
    assert len(offered_versions(house.installation, house.omar)) == 1

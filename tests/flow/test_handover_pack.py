"""The rendered handover pack, judged by programs that share no code with ours."""

from __future__ import annotations

import subprocess
from pathlib import Path

import page
import pytest

from qa.packs.handover import handover_pack
from qa.packs.rendering import render_pdf
from qa.packs.source import PackSource
from tests.factories import RecordBuilder
from tests.unit.packs.handover.sample_job import (
    DENTED,
    opened,
    sealed_with_a_late_entry,
    source_of,
    survey_and_deck,
    whole_job,
)

HOSTILE = "<script>alert(1)</script> & “quoted” مرحبا 🏠 " + "Unbreakable" * 30


def hostile_job() -> RecordBuilder:
    """Everything that people type is as unkind as it can be."""
    builder = opened(title=HOSTILE, firm={"name": HOSTILE, "address": HOSTILE})
    survey_and_deck(builder)
    builder.add("nonconformity", stage="deck", description=HOSTILE)
    builder.add("disposition", nonconformity=1, reason=HOSTILE)
    builder.add("photo", stage="deck", nonconformity=1, area="main", caption=HOSTILE)
    builder.add("interruption", protection=HOSTILE)
    builder.add("lot", product=HOSTILE, batch_number=HOSTILE)
    builder.add("sign_off", statement=HOSTILE)
    return builder


def surveyed_job() -> RecordBuilder:
    """A roof with levels, and a hollow in it."""
    builder = opened()
    builder.entries[1]["body"]["levels_m"] = list(DENTED)
    survey_and_deck(builder)
    return builder


JOBS = ("whole", "hostile", "bare", "surveyed")


def job_source(job: str, photos: Path) -> PackSource:
    builders = {
        "hostile": hostile_job,
        "bare": RecordBuilder.opened,
        "surveyed": surveyed_job,
    }
    if job == "whole":
        return source_of(sealed_with_a_late_entry(whole_job()), photos)
    return source_of(builders[job]().record(), photos)


@pytest.fixture(scope="module", params=JOBS)
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp(request.param)
    path = folder / f"{request.param}.pdf"
    path.write_bytes(render_pdf(handover_pack(job_source(request.param, folder))))
    return path


def words(*command: str | Path) -> str:
    """What a program prints; its complaint where it finds a fault."""
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr
    return run.stdout


def page_words(path: Path, number: int) -> str:
    return words("pdftotext", "-f", str(number), "-l", str(number), "-layout", path, "-")


@pytest.mark.parametrize("profile", ["3a", "ua1"])
def test_pack_conforms_to_both_standards(pack: Path, profile: str) -> None:
    report = page.validate_pdf_bytes(pack.read_bytes(), profile=page.ValidationProfile(profile))
    assert [(failure.rule_id, failure.message) for failure in report.failures] == []
    assert report.is_compliant


def test_structure_of_the_file_is_sound(pack: Path) -> None:
    words("qpdf", "--check", pack)


def test_second_page_tells_what_was_outside(pack: Path) -> None:
    assert "What was outside its limits" in page_words(pack, 2)
    assert "What was outside its limits" not in page_words(pack, 1)


def test_every_page_bears_job_and_edition(pack: Path) -> None:
    pages = int(words("pdfinfo", pack).split("Pages:")[1].split()[0])
    for number in range(2, pages + 1):
        assert f"page {number} of {pages}" in page_words(pack, number)
        assert "Handover pack, edition " in page_words(pack, number)


def test_record_travels_inside_the_pack(pack: Path) -> None:
    names = words("pdfdetach", "-list", pack)
    for name in ("record.jsonl", "assessment.json", "specification.toml"):
        assert name in names


def test_same_record_gives_the_same_bytes(tmp_path: Path) -> None:
    folders = (tmp_path / "here", tmp_path / "there")
    packs = []
    for folder in folders:
        folder.mkdir()
        packs.append(render_pdf(handover_pack(job_source("whole", folder))))
    assert packs[0] == packs[1]

"""The rendered warranty file, judged by programs that share no code with ours."""

from __future__ import annotations

import subprocess
from pathlib import Path

import page
import pytest

from qa.packs.rendering import render_pdf
from qa.packs.source import PackSource
from qa.packs.warranty import warranty_file
from tests.factories import RecordBuilder
from tests.unit.packs.warranty.warranty_job import (
    late_photo,
    warranty_job,
    warranty_source,
    with_camera_times,
)

HOSTILE = "<script>alert(1)</script> & “quoted” مرحبا 🏠 " + "Unbreakable" * 30


def hostile_job() -> RecordBuilder:
    """Everything that people type is as unkind as it can be."""
    builder = RecordBuilder.equipped(title=HOSTILE, firm={"name": HOSTILE, "address": HOSTILE})
    builder.entries[1]["body"]["name"] = HOSTILE
    builder.add("lot", product=HOSTILE, batch_number=HOSTILE)
    builder.add("observation", check="deck.dry", result="no", note=HOSTILE, area="main")
    builder.add("photo", area="main", caption=HOSTILE)
    builder.add("interruption", protection=HOSTILE)
    builder.add("sign_off", statement=HOSTILE)
    builder.add("nonconformity", check="laminate.wet_out", description=HOSTILE)
    builder.add("disposition", nonconformity=1, reason=HOSTILE)
    note = builder.add("note", text=HOSTILE)
    builder.add("correction", corrects=note, reason=HOSTILE, body={"text": f"Not {HOSTILE}"})
    return builder


def job_source(job: str, photos: Path) -> PackSource:
    if job == "whole":
        return with_camera_times(warranty_source(late_photo(warranty_job()), photos))
    builders = {"hostile": hostile_job, "bare": RecordBuilder.opened}
    return warranty_source(builders[job]().record(), photos)


@pytest.fixture(scope="module", params=["whole", "hostile", "bare"])
def pack(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp(request.param)
    path = folder / f"{request.param}.pdf"
    path.write_bytes(render_pdf(warranty_file(job_source(request.param, folder))))
    return path


def words(*command: str | Path) -> str:
    """What a program prints; its complaint where it finds a fault."""
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr
    return run.stdout


@pytest.mark.parametrize("profile", ["3a", "ua1"])
def test_pack_conforms_to_both_standards(pack: Path, profile: str) -> None:
    report = page.validate_pdf_bytes(pack.read_bytes(), profile=page.ValidationProfile(profile))
    assert [(failure.rule_id, failure.message) for failure in report.failures] == []
    assert report.is_compliant


def test_structure_of_the_file_is_sound(pack: Path) -> None:
    words("qpdf", "--check", pack)


def test_summary_of_findings_comes_before_the_contents(pack: Path) -> None:
    text = words("pdftotext", pack, "-")
    assert 0 < text.index("Summary of findings") < text.index("Outside limits and open")
    assert text.index("Outside limits and open") < text.index("Contents")


def test_falls_and_hollows_of_a_surveyed_roof_are_printed(tmp_path: Path) -> None:
    path = tmp_path / "whole.pdf"
    path.write_bytes(render_pdf(warranty_file(job_source("whole", tmp_path))))
    text = words("pdftotext", "-layout", path, "-")
    assert "Falls from surveyed levels" in text
    assert "17.4 ± 4.1 mm per m" in text
    assert "water that cannot drain, with its greatest depth" in text


def test_record_and_specification_travel_inside(pack: Path) -> None:
    listed = words("pdfdetach", "-list", pack)
    assert all(name in listed for name in ("record.jsonl", "assessment.json", "specification.toml"))


def test_same_record_gives_the_same_bytes_in_another_folder(tmp_path: Path) -> None:
    bytes_of = []
    for name in ("one", "two"):
        folder = tmp_path / name
        folder.mkdir()
        builder = RecordBuilder.opened()
        builder.add("note", text="Seen.")
        source = warranty_source(builder.record(), folder)
        bytes_of.append(render_pdf(warranty_file(source)))
    assert bytes_of[0] == bytes_of[1]

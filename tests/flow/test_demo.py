"""`laidtrue demo` as a new user runs it: once to make everything, once more to find it there."""

from __future__ import annotations

import re
import subprocess
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from qa.demo.script import demo_script
from qa.photos.drawn import draw
from qa.record.folder import read_folder
from qa.record.job import fold
from tests.flow.job_folder import Run, laidtrue

KINDS = ("handover", "warranty")


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What one run of the command left behind."""

    run: Run
    place: Path
    digests: dict[str, str]

    @property
    def job(self) -> Path:
        return self.place / "job"


def run_demo(instance: Path) -> Made:
    run = laidtrue("demo", instance=instance)
    place = instance / "demo"
    files = sorted(path for path in place.rglob("*") if path.is_file())
    digests = {
        path.relative_to(place).as_posix(): sha256(path.read_bytes()).hexdigest() for path in files
    }
    return Made(run=run, place=place, digests=digests)


def without_site(said: str) -> str:
    """What was said, without the passwords, which are new every time."""
    before, _, site = said.partition("The site\n")
    return before + site.partition("To look further\n")[2]


def passwords(said: str) -> list[str]:
    return re.findall(r"^  (?:installer|supervisor|office|owner) .* (\S+)$", said, re.MULTILINE)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return run_demo(tmp_path_factory.mktemp("instance"))


def test_first_run_makes_folder_and_packs(made: Made) -> None:
    assert (made.run.status, made.run.err) == (0, "")
    assert {"job.sha256", "handover.pdf", "warranty.pdf", "job/record.jsonl"} <= set(made.digests)
    assert [path.name for path in sorted(made.place.iterdir())] == [
        "handover.pdf", "job", "job.sha256", "warranty.pdf",
    ]  # fmt: skip


def test_text_says_what_it_is_and_where(made: Made) -> None:
    said = made.run.out
    assert said.startswith("The demonstration job is ready. Firm, people, roof and figures are ")
    for path in (made.job, *(made.place / f"{kind}.pdf" for kind in KINDS)):
        assert f"  {path}\n" in said
    assert "laminate    put right (2)         released\n" in said
    assert f"laidtrue assess {made.job}\n" in said


def test_second_run_keeps_the_folder_and_every_byte(made: Made) -> None:
    before = {path: path.stat().st_mtime_ns for path in made.job.rglob("*")}
    again = run_demo(made.place.parent)
    assert (again.run.status, again.run.err) == (0, "")
    assert without_site(again.run.out) == without_site(made.run.out)
    assert again.digests == made.digests
    assert {path: path.stat().st_mtime_ns for path in made.job.rglob("*")} == before


def test_site_has_a_login_for_each_role_with_a_password_of_its_own(made: Made) -> None:
    assert "then open http://localhost:8321\n" in made.run.out
    assert len(set(passwords(made.run.out))) == 4
    assert "laidtrue person code " in made.run.out


def test_site_holds_the_job_as_the_folder_has_it(made: Made, tmp_path: Path) -> None:
    instance = made.place.parent
    done = laidtrue("export", "DEMO-2026-05", tmp_path / "out", instance=instance)
    assert done.status == 0, done.err
    out, name = tmp_path / "out", "record.jsonl"
    assert (out / name).read_bytes() == (made.job / name).read_bytes()
    here, there = (folder / "personal.jsonl" for folder in (out, made.job))
    assert sorted(here.read_text().splitlines()) == sorted(there.read_text().splitlines())


def test_mark_is_what_common_tools_check(made: Made) -> None:
    lines = (made.place / "job.sha256").read_text().splitlines()
    assert lines[0].startswith("recipe ")
    listed = dict(reversed(line.split("  ", 1)) for line in lines[1:])
    in_folder = {name: d for name, d in made.digests.items() if name.startswith("job/")}
    assert {f"job/{name}": digest for name, digest in listed.items()} == in_folder


def test_record_knows_every_picture_by_its_digest(made: Made) -> None:
    folder = read_folder(made.job)
    assert folder.record.is_sealed
    noted = {photo.body.file: photo.body.sha256 for photo in fold(folder.record).photos}
    assert len(noted) >= 60
    assert noted == {name: made.digests[f"job/{name}"] for name, _ in folder.photos}


def test_every_picture_says_that_it_is_drawn(made: Made) -> None:
    for path in sorted((made.job / "photos").iterdir()):
        with Image.open(path) as picture:
            exif = picture.getexif()
            strip = picture.convert("L").crop((0, picture.height - 20, 40, picture.height - 4))
        assert exif[ExifTags.Base.Make] == "drawn", path.name
        assert "not a photograph" in exif[ExifTags.Base.ImageDescription], path.name
        assert max(strip.get_flattened_data()) < 60, f"{path.name} lacks its dark strip"


def test_pictures_drawn_again_have_the_same_bytes(made: Made) -> None:
    for name, photo in demo_script().pictures[4::20]:
        assert draw(photo) == (made.job / name).read_bytes(), name


def test_pack_of_the_homeowner_is_a_sound_file(made: Made) -> None:
    # That of the warranty file is checked in `test_warranty_pack`, with fewer photographs.
    checked = subprocess.run(
        ["qpdf", "--check", made.place / "handover.pdf"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert checked.returncode == 0, checked.stdout + checked.stderr


@pytest.mark.parametrize("kind", KINDS)
def test_packs_say_that_the_job_is_invented(made: Made, kind: str) -> None:
    first_page = subprocess.run(
        ["pdftotext", "-l", "1", made.place / f"{kind}.pdf", "-"],
        capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    assert "(invented)" in first_page

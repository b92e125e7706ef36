"""Input that cannot be used: one sentence a fault, exit status 2, nothing half-written."""

from __future__ import annotations

import resource
import struct
import subprocess
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from qa.cli import main
from qa.specification.loader import built_in_path
from tests.factories import RecordBuilder
from tests.flow.job_folder import COMMAND, draw_picture, environment, small_job, write_job

GENERAL = built_in_path("general-grp/1").read_text(encoding="utf-8")
Spoil = Callable[[Path], None]


def in_the_record(**entry: Any) -> Spoil:
    """Adds an entry as no builder would."""

    def spoil(folder: Path) -> None:
        builder = small_job()
        builder.add("mix")
        for name, value in entry.items():
            place = builder.entries[-1] if name in ("kind", "at") else builder.entries[-1]["body"]
            place[name] = value
        (folder / "record.jsonl").write_text(builder.text(), encoding="utf-8")

    return spoil


def with_entry(kind: str, **fields: Any) -> Spoil:
    def spoil(folder: Path) -> None:
        builder = small_job()
        builder.add(kind, **fields)
        (folder / "record.jsonl").write_text(builder.text(), encoding="utf-8")

    return spoil


def truncate_the_record(folder: Path) -> None:
    record = folder / "record.jsonl"
    record.write_bytes(record.read_bytes()[:-40])


def lose_the_photo(folder: Path) -> None:
    (folder / "photos" / "001.jpg").unlink()


def half_the_photo(folder: Path) -> None:
    photo = folder / "photos" / "001.jpg"
    draw_picture(photo, width_px=640)
    photo.write_bytes(photo.read_bytes()[: photo.stat().st_size // 2])


def text_for_a_photo(folder: Path) -> None:
    (folder / "photos" / "001.jpg").write_text("Dear diary,", encoding="utf-8")


def bomb_for_a_photo(folder: Path) -> None:
    """A PNG of a few hundred bytes that says it is 10 GB of pixels."""

    def chunk(name: bytes, content: bytes) -> bytes:
        body = name + content
        return struct.pack(">I", len(content)) + body + struct.pack(">I", zlib.crc32(body))

    header = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    pixels = zlib.compress(bytes(60_000 * 3 + 1))
    content = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", pixels)
    (folder / "photos" / "001.jpg").write_bytes(content + chunk(b"IEND", b""))


BOW_TIE = [[0, 0], [4, 4], [4, 0], [0, 4]]
FAULTS: dict[str, tuple[Spoil, str, str]] = {
    "truncated_line": (truncate_the_record, "record.jsonl, line 11: ", "it is truncated"),
    "unknown_kind": (in_the_record(kind="mixture"), "record.jsonl, line 12: ", "mixture"),
    "time_without_offset": (
        in_the_record(at="2026-05-12T08:40:00"),
        "record.jsonl, line 12: at ",
        "offset",
    ),
    "negative_weight": (
        in_the_record(kg=-5),
        "record.jsonl, line 12: mix.kg ",
        "more than nothing",
    ),
    "self_crossing_outline": (
        with_entry("area", area="porch", outline_m=BOW_TIE),
        "record.jsonl, line 12: area.outline_m ",
        "(2.000, 2.000)",
    ),
    "missing_photo": (lose_the_photo, "record.jsonl, line 10: ", "photos/001.jpg"),
    "half_a_jpeg": (half_the_photo, "record.jsonl, line 10: photos/001.jpg: ", ""),
    "text_named_jpg": (text_for_a_photo, "record.jsonl, line 10: photos/001.jpg: ", "Dear diary"),
    "decompression_bomb": (bomb_for_a_photo, "record.jsonl, line 10: photos/001.jpg: ", "60"),
    "wrong_unit": (
        with_entry("measurement", unit="kg"),
        "record.jsonl, line 12: measurement.unit ",
        "is “kg” but the limit of deck.moisture is in “%”; convert it.",
    ),
    "unknown_check": (
        with_entry("observation", check="deck.dryy"),
        "record.jsonl, line 12: observation.check ",
        "did you mean deck.dry?",
    ),
    "computed_check_measured": (
        with_entry("measurement", check="mix.dose", unit="ml/kg", stage="laminate"),
        "record.jsonl, line 12: measurement.check ",
        "it is reckoned from other entries",
    ),
    "measured_check_observed": (
        with_entry("observation", check="deck.moisture"),
        "record.jsonl, line 12: observation.check ",
        "record a measurement",
    ),
    "unknown_check_of_a_photo": (
        with_entry("photo", check="deck.gap", file="photos/001.jpg"),
        "record.jsonl, line 12: photo.check ",
        "deck.gap",
    ),
}


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return write_job(tmp_path / "job", small_job())


def listing(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def refused(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> list[str]:
    """The lines on standard error of a command that ends with status 2 and no answer."""
    assert main([str(argument) for argument in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err.splitlines()


@pytest.mark.parametrize("fault", FAULTS)
def test_fault_is_one_sentence_with_its_place(
    fault: str, job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoil, place, said = FAULTS[fault]
    spoil(job)
    before = listing(tmp_path)
    lines = refused(capsys, "assess", job)
    assert len(lines) == 2, lines
    assert lines[0].startswith(place), lines[0]
    assert said in lines[0]
    assert lines[0].endswith((".", "?"))
    assert not lines[0].endswith("?.")
    assert lines[1] == "Nothing has been taken in."
    assert refused(capsys, "pack", "handover", job, "--out", tmp_path / "roof.pdf") == lines
    assert listing(tmp_path) == before


def test_every_fault_is_named_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    builder = small_job()
    builder.add("mix", kg=-1, catalyst_ml="much")
    builder.add("conditions", at="2026-05-12 08:40", humidity_pct=140)
    builder.entries[-1]["at"] = "2026-05-12T08:40:00"
    folder = write_job(tmp_path / "job", builder)
    lines = refused(capsys, "assess", folder)
    assert [line.partition(": ")[2].split()[0] for line in lines[:-1]] == [
        "mix.kg",
        "mix.catalyst_ml",
        "at",
        "conditions.humidity_pct",
    ]


def test_all_photos_that_are_none_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    builder = small_job()
    builder.add("photo")
    builder.add("photo")
    folder = write_job(tmp_path / "job", builder)
    for number in (1, 3):
        (folder / "photos" / f"{number:03}.jpg").write_bytes(b"GIF89a no more")
    assert len(refused(capsys, "assess", folder)) == 3


def test_photo_that_is_not_the_one_recorded_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    builder = RecordBuilder.equipped()
    builder.add("photo", sha256="ab" * 32)
    folder = write_job(tmp_path / "job", builder)
    (line, _) = refused(capsys, "assess", folder)
    assert "is not the photo of the record" in line


def test_hole_in_the_chart_is_named(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    holed = tmp_path / "our-firm.toml"
    text = GENERAL.replace("from_c = 13, to_c = 16", "from_c = 14, to_c = 16")
    assert text != GENERAL
    holed.write_text(text, encoding="utf-8")
    (line,) = refused(capsys, "assess", job, "--specification", holed)
    assert line.startswith("our-firm.toml, chart.resin_dose")
    assert "hole from 13 to 14 °C" in line


def test_job_that_pins_another_specification_is_refused(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "our-firm.toml"
    other.write_text(GENERAL.replace('"general-grp/1"', '"our-firm/1"'), encoding="utf-8")
    line, _ = refused(capsys, "assess", job, "--specification", other)
    assert line.startswith("record.jsonl, line 1: job.specification is “general-grp/1”")
    assert "“our-firm/1”" in line


@pytest.mark.parametrize(
    ("name", "said"),
    [("none.toml", "no such file"), (".", "folder"), ("job/record.jsonl", "")],
)
def test_specification_that_is_none_is_refused(
    name: str, said: str, job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = refused(capsys, "assess", job, "--specification", tmp_path / name)
    assert said in lines[0]


@pytest.mark.parametrize(
    ("folder", "said"),
    [("nothing", "does not exist"), ("job/record.jsonl", "is not a folder"), (".", "record.jsonl")],
)
def test_folder_that_holds_no_job_is_refused(
    folder: str, said: str, job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = refused(capsys, "assess", tmp_path / folder)
    assert said in lines[0]


@pytest.mark.parametrize(
    ("out", "said"),
    [
        ("{tmp}", "{tmp} is a folder; name the PDF to write in it."),
        ("{tmp}/no/roof.pdf", "{tmp}/no does not exist; make the folder first, or name another."),
        ("/dev/full", "/dev/full is no file that can be replaced; name a PDF in a folder."),
        ("/proc/roof.pdf", "cannot be written"),
        ("{tmp}/job/record.jsonl/roof.pdf", "does not exist; make the folder first"),
    ],
)
def test_place_that_cannot_be_written_is_refused(
    out: str,
    said: str,
    job: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("LAIDTRUE_INSTANCE", str(tmp_path / "instance"))
    lines = refused(capsys, "pack", "handover", job, "--out", out.format(tmp=tmp_path))
    assert said.format(tmp=tmp_path) in " ".join(lines)
    assert not list(tmp_path.glob("*.pdf"))
    assert Path("/dev/full").is_char_device()


def test_full_disk_leaves_nothing_half_written(job: Path, tmp_path: Path) -> None:
    out = tmp_path / "packs" / "roof.pdf"
    out.parent.mkdir()
    out.write_bytes(b"an earlier pack")
    # A file may not grow beyond it, as on a full disk; room for the faces, none for the pack.
    limit = 200_000

    def fill_the_disk() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    done = subprocess.run(
        [*COMMAND, "pack", "warranty", str(job), "--out", str(out)],
        capture_output=True,
        text=True,
        check=False,
        env=environment(tmp_path / "instance"),
        preexec_fn=fill_the_disk,
    )
    assert done.returncode == 2
    assert done.stderr == (
        f"{out} cannot be written: File too large; make room or name another place.\n"
    )
    assert {path.name: path.read_bytes() for path in out.parent.iterdir()} == {
        "roof.pdf": b"an earlier pack"
    }

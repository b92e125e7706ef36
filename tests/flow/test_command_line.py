"""The command as a person uses it: help, judging, packs, progress, exit status."""

from __future__ import annotations

import json
import os
import pty
import subprocess
from pathlib import Path

import pytest

from qa.cli import main
from tests.flow.job_folder import COMMAND, environment, laidtrue, small_job, write_job


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return write_job(tmp_path / "job", small_job())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "FOLDER is a job folder"),
        (("assess",), "laidtrue assess a-job --json > assessment.json"),
        (("pack",), "laidtrue pack handover a-job --out handover.pdf"),
        (("demo",), "Everything in it is invented"),
    ],
)
@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_every_command_explains_itself(
    arguments: tuple[str, ...], said: str, flag: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*arguments, flag]) == 0
    assert said in " ".join(capsys.readouterr().out.split())


def test_judging_answers_in_words(job: Path) -> None:
    run = laidtrue("assess", job)
    assert (run.status, run.err) == (0, "")
    assert run.out.startswith("Job J-2026-014, judged by general-grp/1\nRecord: 11 entries, head ")
    assert "laminate    outside limits (" in run.out
    assert "mix.dose [laminate main mix-1]: catalyst dose at the deck temperature: 60 ml/kg" in (
        run.out
    )


def test_judging_answers_in_json(job: Path) -> None:
    run = laidtrue("assess", job, "--json")
    assert (run.status, run.err) == (0, "")
    told = json.loads(run.out)
    (dose,) = [f for f in told["findings"] if f["subject"] == "mix-1" and f["check"] == "mix.dose"]
    assert (dose["value"], dose["lower"], dose["upper"]) == (60, 25.5, 34.5)
    assert dose["verdict"] == "outside"
    assert laidtrue("assess", job, "--json").out == run.out


def test_judging_needs_nothing_but_the_folder(job: Path, tmp_path: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")}
    assert laidtrue("assess", job).status == 0
    assert {path: path.stat().st_mtime_ns for path in tmp_path.rglob("*")} == before


def test_pack_is_written_and_named(job: Path, tmp_path: Path) -> None:
    out = tmp_path / "packs" / "roof.pdf"
    out.parent.mkdir()
    out.write_bytes(b"an earlier pack")
    run = laidtrue("pack", "handover", job, "--out", out, instance=tmp_path / "instance")
    assert (run.status, run.out, run.err) == (0, f"{out}\n", "")
    assert out.read_bytes().startswith(b"%PDF-")
    assert [path.name for path in out.parent.iterdir()] == ["roof.pdf"]


def on_a_terminal(*arguments: str | Path) -> tuple[int, str]:
    """Exit status and everything that a terminal is sent on standard error."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [*COMMAND, *map(str, arguments)],
        stdout=subprocess.DEVNULL,
        stderr=theirs,
        env=environment(),
    ) as process:
        os.close(theirs)
        sent = b""
        while part := read_or_nothing(ours):
            sent += part
    os.close(ours)
    return process.returncode, sent.decode()


def read_or_nothing(terminal: int) -> bytes:
    try:
        return os.read(terminal, 4096)
    except OSError:  # Linux answers so where the other end was closed
        return b""


def test_progress_is_shown_on_a_terminal_only(job: Path) -> None:
    status, sent = on_a_terminal("assess", job)
    assert status == 0
    assert "looking at the photos: 1 of 1" in sent
    assert sent.endswith("\r\x1b[K")
    assert laidtrue("assess", job).err == ""


def test_reader_who_has_seen_enough_is_no_fault(job: Path) -> None:
    with subprocess.Popen(
        [*COMMAND, "assess", str(job), "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(),
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 0


def test_answer_that_cannot_be_written_is_said(job: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [*COMMAND, "assess", str(job)],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            env=environment(),
        )
    assert done.returncode == 2
    assert done.stderr == (
        "The answer cannot be written: No space left on device; make room, or send it elsewhere.\n"
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["assess"], "Missing argument 'FOLDER|JOB'"),
        (["judge"], "No such command 'judge'"),
        (["pack", "poem", "a-job", "--out", "x.pdf"], "'poem' is not one of"),
        (["pack", "handover", "a-job"], "Missing option '--out'"),
    ],
)
def test_wrong_call_is_explained(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    assert said in capsys.readouterr().err


HAND_WRITTEN = """\
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a01", "kind": "job", "at": "2026-05-11T07:00:00+01:00", \
"by": "ines", "body": {"job": "J-7", "title": "Porch", "specification": "general-grp/1", \
"time_zone": "Europe/London", "firm": {"name": "An Invented Firm"}, "client": {"name": "A. Client"}\
, "site": {"address": "1 Invented Lane", "latitude_deg": 54.5}, "crew": [{"person": "ines", \
"name": "Ines Invented", "role": "installer", "competence": "Course 2024"}, \
{"person": "mara", "name": "Mara Invented", "role": "supervisor"}]}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a02", "kind": "area", "at": "2026-05-11T07:10:00+01:00", \
"by": "ines", "body": {"area": "main", "name": "Porch", "outline_m": [[0, 0], [2, 0], [2, 2], \
[0, 2]], "edges": [{"edge": "front", "kind": "drip_edge", "length_m": 2}], "mat_g_per_m2": 450, \
"roof_build_up": "cold", "outlets_m": [[0, 0]]}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a03", "kind": "lot", "at": "2026-05-11T07:20:00+01:00", \
"by": "ines", "body": {"lot": "R1", "material": "resin", "product": "Resin", "batch_number": \
"12/4", "use_by": "2026-12-31", "quantity": 20, "unit": "kg"}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a04", "kind": "lot", "at": "2026-05-11T07:21:00+01:00", \
"by": "ines", "body": {"lot": "C1", "material": "catalyst", "product": "Catalyst", "batch_number": \
"77", "quantity": 0.5, "unit": "l", "active_oxygen_pct": 8.9}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a05", "kind": "measurement", "at": \
"2026-05-11T08:00:00+01:00", "by": "ines", "body": {"stage": "survey", "check": "survey.fall", \
"value": 12.5, "unit": "mm/m"}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a06", "kind": "observation", "at": \
"2026-05-11T08:01:00+01:00", "by": "ines", "body": {"stage": "survey", "check": \
"survey.ventilation", "result": "not_applicable", "reason": "An open porch."}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a07", "kind": "conditions", "at": \
"2026-05-12T07:40:00Z", "by": "ines", "body": {"stage": "laminate", "area": "main", \
"air_c": 14.5, "humidity_pct": 62, "deck_c": 13.0}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a08", "kind": "mix", "at": "2026-05-12T08:50:00+01:00", \
"by": "ines", "body": {"mix": "mix-4", "stage": "laminate", "area": "main", "bays": ["r1b1"], \
"lot": "R1", "kg": 1.5, "catalyst_lot": "C1", "catalyst_ml": 36, "deck_c": 13}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a09", "kind": "examination", "at": \
"2026-05-12T09:20:00+01:00", "by": "ines", "body": {"area": "main", "bay": "r1b1", "wet_out": \
"white_patches", "opaque_cm2": 40, "pinholes": 0, "examined_m2": 1}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a0a", "kind": "nonconformity", "at": \
"2026-05-12T09:25:00+01:00", "by": "ines", "body": {"number": 1, "stage": "laminate", "check": \
"laminate.wet_out", "area": "main", "bay": "r1b1", "description": "White patch."}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a0b", "kind": "disposition", "at": \
"2026-05-12T09:30:00+01:00", "by": "mara", "body": {"nonconformity": 1, "decision": "concession", \
"reason": "Under the flashing."}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a0c", "kind": "photo", "at": \
"2026-05-12T09:31:00+01:00", "by": "ines", "body": {"file": "photos/patch one.jpg", "stage": \
"laminate", "area": "main", "bay": "r1b1", "caption": "The patch"}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a0d", "kind": "sign_off", "at": \
"2026-05-12T17:00:00+01:00", "by": "ines", "body": {"stage": "laminate", "decision": "complete", \
"statement": "Done."}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a0e", "kind": "sign_off", "at": \
"2026-05-12T17:05:00+01:00", "by": "mara", "body": {"stage": "laminate", "decision": "released", \
"statement": "Go on."}}
{"id": "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a0f", "kind": "correction", "at": \
"2026-05-12T18:00:00+01:00", "by": "ines", "body": {"corrects": \
"6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a05", "reason": "Read 12 on the level.", "body": {"stage": \
"survey", "check": "survey.fall", "value": 12, "unit": "mm/m"}}}
"""
"""A folder as somebody writes it who has the page on the format and a text editor."""


def test_record_written_by_hand_is_judged(tmp_path: Path) -> None:
    folder = write_job(tmp_path / "by-hand", small_job())
    (folder / "photos" / "001.jpg").rename(folder / "photos" / "patch one.jpg")
    written = HAND_WRITTEN.replace("\n", "\r\n") + "\r\n"
    (folder / "record.jsonl").write_bytes(written.encode())
    run = laidtrue("assess", folder, "--json")
    assert (run.status, run.err) == (0, "")
    told = json.loads(run.out)
    by_check = {(f["check"], f["bay"], f["subject"]): f for f in told["findings"]}
    dose = by_check["mix.dose", None, "mix-4"]
    assert (dose["value"], dose["lower"], dose["upper"]) == (24, 25.5, 34.5)
    assert by_check["survey.fall", None, None]["verdict"] == "outside"
    assert by_check["survey.ventilation", None, None]["verdict"] == "not_applicable"
    patch = by_check["laminate.wet_out", "r1b1", None]
    assert (patch["value"], patch["conceded"]) == (40, True)
    assert patch["photos"] == ["photos/patch one.jpg"]
    read = by_check["conditions.dew_margin", None, "6c7a2c52-5a3e-4d52-9c39-0d6b6a6f3a07"]
    assert read["value"] == pytest.approx(5.7, abs=0.1)
    released = {stage["stage"] for stage in told["stages"] if stage["released"]}
    assert released == {"laminate"}


def test_firm_judges_by_its_own_specification(tmp_path: Path) -> None:
    builder = small_job()
    builder.entries[0]["body"]["specification"] = "our-firm/2"
    folder = write_job(tmp_path / "job", builder)
    run = laidtrue("assess", folder)
    assert run.status == 2
    assert "not built in; give its file with --specification" in run.err
    general = Path(__file__).parents[2] / "qa" / "specification" / "general-grp.toml"
    text = general.read_text(encoding="utf-8").replace('"general-grp/1"', '"our-firm/2"')
    own = tmp_path / "our-firm.toml"
    own.write_text(text, encoding="utf-8")
    run = laidtrue("assess", folder, "--specification", own)
    assert (run.status, run.err) == (0, "")
    assert "judged by our-firm/2" in run.out

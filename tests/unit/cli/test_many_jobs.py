"""`drift` and `audit`: words and JSON, worked examples, and faults in one sentence."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from qa.assess.fact import Quantity
from qa.cli import main
from qa.record.folder import write_folder
from qa.services.auditing import audit_json, plan_audit
from qa.services.comparing import compare_folders
from qa.services.comparing_text import drift_json
from tests.factories import RecordBuilder
from tests.unit.assess.many_jobs import DRIFTING, STEADY, add_mixes, dosed, opened

Captured = pytest.CaptureFixture[str]
EXAMPLE = (0.0, 1.0, -1.0, 2.0, 0.0, -2.0, 1.0, -1.0, 0.0, 1.0, -2.0, 0.0, 20.0)
"""Twelve mixes within 2 % of the chart, and one of 20 % too much."""


def said(capsys: Captured, *arguments: str | Path) -> str:
    assert main([str(argument) for argument in arguments]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def refused(capsys: Captured, *arguments: str | Path) -> str:
    assert main([str(argument) for argument in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


def folders(tmp_path: Path, *jobs: RecordBuilder) -> list[Path]:
    paths = [tmp_path / f"job-{number}" for number in range(len(jobs))]
    for path, job in zip(paths, jobs, strict=True):
        write_folder(job.record(), (), path)
    return paths


@pytest.fixture
def drifting(tmp_path: Path) -> list[Path]:
    return folders(tmp_path, dosed(1, DRIFTING[:6]), dosed(2, DRIFTING[6:]))


def dose_group(answer: Any, key: str = "") -> Any:
    (group,) = (
        group
        for group in answer["groups"]
        if (group["quantity"], group["key"]) == (Quantity.DOSE_ERROR.value, key)
    )
    return group


def test_drift_names_job_day_and_mix(drifting: list[Path], capsys: Captured) -> None:
    out = said(capsys, "drift", *drifting)
    assert out.startswith("2 jobs: a signal in 1 of 1 groups with a chart\n")
    assert "Dose error, resin (general-grp/1)\n  Points    12 of 2 jobs, 19 May 2026 to " in out
    assert "    6 points in a row rising, or falling:\n" in out
    assert "J-1, 19 May 2026, mix-6 to J-2, 26 May 2026, mix-6" in out
    assert "It is no verdict on a roof." in " ".join(out.split())


def test_steady_work_has_no_signal(tmp_path: Path, capsys: Captured) -> None:
    out = said(capsys, "drift", *folders(tmp_path, dosed(1, STEADY)))
    assert out.startswith("1 job: a signal in 0 of 1 groups with a chart\n")
    assert "  no signal\n" in out


def test_drift_example_is_what_is_answered(tmp_path: Path, capsys: Captured) -> None:
    jobs = [opened(number + 1) for number in range(3)]
    for job, errors_pct in zip(jobs, (EXAMPLE[:6], EXAMPLE[6:12], EXAMPLE[12:]), strict=True):
        add_mixes(job, errors_pct)
    out = said(capsys, "drift", *folders(tmp_path, *jobs), "--by", "crew")
    helped = said(capsys, "drift", "--help")
    shown = [line.strip() for line in out.splitlines()]
    for line in (
        "Dose error, resin, ines (general-grp/1)",
        "Points    13 of 3 jobs, 19 May 2026 to 2 June 2026; limits on trial",
        "Figures   centre 1.5 %, limits −7.8 % and 10.8 %",
        "One point beyond 3 sigma:",
        "20 % at J-3, 2 June 2026, mix-1",
    ):
        assert line in shown
        assert line in helped


def test_drift_in_json_has_every_point(drifting: list[Path], capsys: Captured) -> None:
    out = said(capsys, "drift", *drifting, "--json")
    assert out == drift_json(compare_folders(drifting))
    group = dose_group(json.loads(out))
    assert [fact["value"] for fact in group["facts"]] == pytest.approx(list(DRIFTING))
    assert group["facts"][0]["at"] == "2026-05-19T07:30:00+01:00"
    charts = {chart["chart"]: chart for chart in group["charts"]}
    assert len(charts["moving_ranges"]["points"]) == len(DRIFTING) - 1
    assert charts["individuals"]["signals"]


def test_drift_is_told_by_crew_lot_and_month(drifting: list[Path], capsys: Captured) -> None:
    keys = {"crew": "ines", "lot": "Roofing resin, batch R 1204", "month": "2026-05"}
    for by, key in keys.items():
        answer = json.loads(said(capsys, "drift", *drifting, "--by", by, "--json"))
        assert answer["by"] == by
        assert len(dose_group(answer, key)["facts"]) == len(DRIFTING)


def test_too_few_points_are_said(drifting: list[Path], capsys: Captured) -> None:
    out = said(capsys, "drift", *drifting, "--least", "20")
    assert "\nToo few points for a chart, which needs 20\n" in out
    assert "  Dose error, resin (general-grp/1): 12 of 2 jobs, 19 May 2026 to 26 May 2026\n" in out
    assert "must be 2 or more" in refused(capsys, "drift", *drifting, "--least", "1")


def test_jobs_without_work_have_nothing_to_compare(tmp_path: Path, capsys: Captured) -> None:
    out = said(capsys, "drift", *folders(tmp_path, opened(1)))
    assert out.startswith("1 job: nothing to compare\n")


def test_what_is_not_compared_is_said(tmp_path: Path, capsys: Captured) -> None:
    job = opened(1)
    job.add("mix", deck_c=2)
    job.add("mix", deck_c=3)
    out = said(capsys, "drift", *folders(tmp_path, job))
    assert "  Dose error, 2 in all: the chart has no dose at the temperature of the deck\n" in out


def test_same_job_twice_is_refused(tmp_path: Path, capsys: Captured) -> None:
    first, second = folders(tmp_path, opened(1), opened(1))
    err = refused(capsys, "drift", first, second)
    assert f"{first} and {second} both hold job J-1; leave one of them out" in err
    assert "both hold job" in refused(capsys, "drift", first, first)


def test_every_unreadable_folder_is_named(tmp_path: Path, capsys: Captured) -> None:
    sound, spoilt = folders(tmp_path, opened(1), opened(2))
    (spoilt / "record.jsonl").write_text("{}\n", encoding="utf-8")
    err = refused(capsys, "drift", sound, spoilt, tmp_path / "nowhere")
    assert f"{spoilt}, record.jsonl, line 1: " in err
    assert f"{tmp_path / 'nowhere'}: does not exist" in err
    assert str(sound) not in err.replace(str(spoilt), "")


def test_specification_of_the_firm_is_given_once(tmp_path: Path, capsys: Captured) -> None:
    """One job pins the general specification, one the firm's own; each is judged by its own."""
    jobs = folders(tmp_path, dosed(1, STEADY), dosed(2, STEADY, specification="our-firm/2"))
    err = refused(capsys, "drift", *jobs)
    assert f"{jobs[1]}, specification “our-firm/2”: the job pins it" in err
    general = Path(__file__).parents[3] / "qa" / "specification" / "general-grp.toml"
    own = tmp_path / "our-firm.toml"
    text = general.read_text(encoding="utf-8").replace('"general-grp/1"', '"our-firm/2"')
    own.write_text(text, encoding="utf-8")
    out = said(capsys, "drift", *jobs, "--specification", own)
    assert "Dose error, resin (general-grp/1)" in out
    assert "Dose error, resin (our-firm/2)" in out


def test_audit_example_is_what_is_answered(capsys: Captured) -> None:
    out = said(capsys, "audit", "--roofs", "60")
    assert "60 roofs; 6 bad ones (10 %) must not pass unseen" in out
    assert "To find one      23 of 60, of which none may be bad" in out
    assert "By the standard  20 of 60, of which up to 1 may be bad; 2 fail the lot" in out
    assert "with 6 bad, it passes in 34 % of cases" in out
    helped = " ".join(said(capsys, "audit", "--help").split())
    assert "audit 23, of which none may be bad" in helped
    assert "asks for 20, of which 1 may be bad" in helped
    assert "in 34 % of cases" in helped


def test_audit_answers_in_json(capsys: Captured) -> None:
    assert said(capsys, "audit", "--roofs", "60", "--json") == audit_json(plan_audit(60))
    answer = json.loads(
        said(capsys, "audit", "--photos", "1200", "--share-bad", "2", "--aql", "1", "--json")
    )
    assert (answer["items"], answer["bad"], answer["standard"]["n"]) == ("photos", 24, 80)
    assert answer["standard_basis"].startswith("MIL-STD-105E")


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("audit",), "Give --roofs or --photos"),
        (("audit", "--roofs", "6", "--photos", "7"), "one of them"),
        (("audit", "--roofs", "1"), "lot size is 1; it must be a whole number, 2 or more"),
        (("audit", "--roofs", "60", "--aql", "3"), "one of 0.65, 1, 1.5"),
        (("audit", "--roofs", "60", "--share-bad", "0"), "above 0 to 100"),
        (("drift",), "Missing argument 'FOLDER...'"),
        (("drift", "a-job", "--by", "weather"), "'weather' is not one of"),
    ],
)
def test_fault_is_one_sentence_and_status_two(
    arguments: tuple[str, ...], sentence: str, capsys: Captured
) -> None:
    assert sentence in refused(capsys, *arguments)

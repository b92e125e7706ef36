"""The commands that reckon: words and JSON, worked examples, and faults in one sentence."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from qa.cli import main

Captured = pytest.CaptureFixture[str]

GARAGE = """
title = "Garage"

[[area]]
area = "main"
name = "Main roof"
outline_m = [[0, 0], [6, 0], [6, 4], [0, 4]]
mat_g_per_m2 = 450
edges = [{ edge = "eaves", kind = "drip_edge", length_m = 6 }]
"""
LEVELS = "x,y,z\n0,0,0\n4,0,0.05\n4,3,0.05\n0,3,0\n2,1.5,-0.005\n"


@pytest.fixture
def garage(tmp_path: Path) -> Path:
    path = tmp_path / "garage.toml"
    path.write_text(GARAGE, encoding="utf-8")
    return path


@pytest.fixture
def levels(tmp_path: Path) -> Path:
    path = tmp_path / "levels.csv"
    path.write_text(LEVELS, encoding="utf-8")
    return path


def said(capsys: Captured, *arguments: str | Path) -> str:
    assert main([str(argument) for argument in arguments]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def told(capsys: Captured, *arguments: str | Path) -> Any:
    return json.loads(said(capsys, *arguments, "--json"))


def refused(capsys: Captured, *arguments: str | Path) -> str:
    assert main([str(argument) for argument in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    return err


@pytest.mark.parametrize(
    ("command", "example"),
    [
        ("takeoff", "  laidtrue takeoff garage.toml --deck 12\n"),
        ("dose", "  laidtrue dose --kg 5 --deck 14\n"),
        ("dewpoint", "  laidtrue dewpoint --air 12 --humidity 70 --deck 9\n"),
        ("mixes", "  laidtrue mixes --area 12 --start 09:00 --forecast 09:00=16"),
        ("falls", "  laidtrue falls levels.csv --outlet 0,1.5\n"),
    ],
)
def test_help_shows_a_worked_example_on_its_own_lines(
    command: str, example: str, capsys: Captured
) -> None:
    out = said(capsys, command, "--help")
    assert example in out
    assert "Example: " in out
    assert "\\b" not in out


def test_take_off_example_is_what_is_answered(garage: Path, capsys: Captured) -> None:
    out = said(capsys, "takeoff", garage, "--deck", "12")
    (resin,) = (line for line in out.splitlines() if line.startswith("Resin "))
    assert "42.8 kg" in resin
    assert resin.endswith("2 tins of 20 kg, 1 tin of 5 kg (39.8 l)")


def test_take_off_answers_in_three_forms(garage: Path, capsys: Captured) -> None:
    answer = told(capsys, "takeoff", garage, "--deck", "12")
    rows = list(csv.reader(io.StringIO(said(capsys, "takeoff", garage, "--deck", "12", "--csv"))))
    needs = [line["need"] for line in answer["lines"]]
    assert [float(row[3]) for row in rows[1:]] == pytest.approx(needs, abs=0.001)
    assert answer["laid_m2"] == 24.0


def test_dose_example_is_what_is_answered(capsys: Captured) -> None:
    """Supplier's published dose chart, medium-reactivity MEKP: 3 % from 13 to 16 °C."""
    answer = told(capsys, "dose", "--kg", "5", "--deck", "14")
    assert (answer["target_ml"], answer["lower_ml"], answer["upper_ml"]) == (150, 127.5, 172.5)
    assert answer["target_mass_pct"] == pytest.approx(3.54)
    assert answer["warnings"] == []


@pytest.mark.parametrize(("kg", "ml"), [(0.5, (20, 15, 10, 5)), (10, (400, 300, 200, 100))])
def test_dose_follows_the_published_chart(
    kg: float, ml: tuple[float, ...], capsys: Captured
) -> None:
    """The same chart, its rows for 500 g and 10 kg."""
    answers = [
        told(capsys, "dose", "--kg", str(kg), "--deck", str(deck_c))["target_ml"]
        for deck_c in (5, 13, 16, 20)
    ]
    assert answers == pytest.approx(list(ml))


def test_dose_protects_the_person_who_mixes(capsys: Captured) -> None:
    for arguments in (("--help",), ("--kg", "5", "--deck", "14")):
        out = " ".join(said(capsys, "dose", *arguments).split())
        assert "supplier's safety data sheet" in out
        assert "goggles" in out
        assert "accelerator or acetone" in out
    assert told(capsys, "dose", "--kg", "5", "--deck", "14")["cautions"]
    day = said(capsys, "mixes", "--area", "5", "--forecast", "08:00=16", "--forecast", "17:00=16")
    assert "goggles" in day


def test_dose_warns_of_catalyst_and_temperature(capsys: Captured) -> None:
    out = said(
        capsys, "dose", "--kg", "5", "--deck", "14", "--mixing", "16.5", "--density", "1.017",
        "--active-oxygen", "8.5", "--ml", "150",
    )  # fmt: skip
    warnings = [line for line in out.splitlines() if line.startswith("Warning: ")]
    assert len(warnings) == 4
    assert "in another row of the chart at the reading (14 °C) and is 16.5 °C now" in warnings[0]
    assert "density is 1.017 g/ml, 14 % below" in warnings[1]
    assert "outside the band of 85 to 115 ml" in warnings[3]
    assert out.startswith("Warning: ")


def test_topcoat_is_dosed_by_its_own_chart(capsys: Captured) -> None:
    answer = told(capsys, "dose", "--kg", "4", "--deck", "14", "--topcoat", "--ml", "56")
    assert (answer["target_ml"], answer["gel"]) == (80, None)
    assert answer["measured"]["verdict"] == "outside"  # 14 ml/kg; never below 1.5 %, published


def test_dew_point_example_is_what_is_answered(capsys: Captured) -> None:
    answer = told(capsys, "dewpoint", "--air", "12", "--humidity", "70", "--deck", "9")
    assert answer["dew_point_c"] == pytest.approx(6.69, abs=0.01)
    assert answer["margin_k"] == pytest.approx(2.31, abs=0.01)
    assert answer["verdict"] == "outside"
    out = said(capsys, "dewpoint", "--air", "12", "--humidity", "70")
    assert "Verdict" not in out


def test_mixes_example_is_what_is_answered(capsys: Captured) -> None:
    answer = told(
        capsys, "mixes", "--area", "12", "--start", "09:00", "--forecast", "09:00=16",
        "--forecast", "17:00=19",
    )  # fmt: skip
    assert [mix["kg"] for mix in answer["mixes"]] == pytest.approx([3.0, 5.0, 5.0, 5.0])
    assert answer["left_m2"] == pytest.approx(0.0, abs=1e-9)


def test_mixes_left_over_and_extrapolated_are_said(capsys: Captured) -> None:
    out = said(
        capsys, "mixes", "--area", "60", "--end", "10:00", "--forecast", "08:00=9",
        "--forecast", "12:00=10",
    )  # fmt: skip
    assert "m² are left: the day is too short" in out
    assert "* beyond the published gel times" in out


def test_cup_that_was_tried_makes_larger_mixes(capsys: Captured) -> None:
    cold = ("mixes", "--area", "24", "--forecast", "08:00=9", "--forecast", "17:00=12")
    guessed = told(capsys, *cold)["mixes"]
    tried = told(capsys, *cold, "--cup", "9=22")["mixes"]
    assert tried[0]["gel_min"] == pytest.approx(22.0, rel=0.05)
    assert len(tried) < len(guessed) / 2
    assert tried[0]["m2"] == pytest.approx(2.0)
    for faulty, sentence in (("9", "as 9=22"), ("3=20", "inside the chart"), ("9=0", "gel time")):
        assert sentence in refused(capsys, *cold, "--cup", faulty)


def test_falls_example_is_what_is_answered(levels: Path, capsys: Captured) -> None:
    out = said(capsys, "falls", levels, "--outlet", "0,1.5")
    assert "(1:80), towards 180°" in out
    assert "Hollows    1, 6 l" in out
    (area,) = told(capsys, "falls", levels, "--outlet", "0,1.5")["areas"]
    assert area["fall_mm_per_m"] == pytest.approx(12.5)
    assert area["hollows"][0]["deepest_mm"] == pytest.approx(5.0)


def test_falls_without_a_way_out_answer_no_ponding(levels: Path, capsys: Captured) -> None:
    out = said(capsys, "falls", levels)
    assert "not answered" in out
    (area,) = told(capsys, "falls", levels)["areas"]
    assert (area["hollows"], area["back_fall_m2"]) == (None, None)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("dose", "--kg", "5", "--deck", "3"), "outside the chart, do not mix"),
        (("dose", "--kg", "0", "--deck", "14"), "resin in the mix, kg is 0.0"),
        (("dose", "--kg", "nan", "--deck", "14"), "resin in the mix, kg is nan"),
        (("dose", "--kg", "5", "--deck", "nan"), "do not mix"),
        (("dose", "--kg", "5", "--deck", "14", "--density", "0"), "density of the catalyst"),
        (("dose", "--kg", "5", "--deck", "14", "--ml", "-1"), "catalyst, ml is -1.0"),
        (("dewpoint", "--air", "12", "--humidity", "170"), "must be 1 to 100"),
        (("dewpoint", "--air", "60", "--humidity", "50"), "must be -20 to 50"),
        (("mixes", "--area", "5", "--forecast", "08:00=9"), "2 or more"),
        (("mixes", "--area", "5", "--forecast", "8=9"), "write it as 08:30"),
        (("mixes", "--area", "5", "--forecast", "08:00=warm"), "write it as 08:30=9.5"),
        (("mixes", "--area", "-5", "--forecast", "08:00=9", "--forecast", "9:00=9"), "above 0"),
        (("takeoff", "nowhere.toml", "--deck", "12"), "nowhere.toml does not exist"),
        (("falls", "nowhere.csv"), "nowhere.csv does not exist"),
        (("falls", "levels.csv", "--outlet", "1"), "write x and y in metres"),
    ],
)
def test_fault_is_one_sentence_and_status_two(
    arguments: tuple[str, ...], sentence: str, capsys: Captured
) -> None:
    err = refused(capsys, *arguments)
    assert sentence in err
    assert "Traceback" not in err


def test_order_outside_the_chart_is_refused(garage: Path, capsys: Captured) -> None:
    assert "nothing is mixed" in refused(capsys, "takeoff", garage, "--deck", "2")
    both = refused(capsys, "takeoff", garage, "--deck", "12", "--csv", "--json")
    assert "exclude each other" in both


def test_faulty_levels_are_named_by_line(tmp_path: Path, capsys: Captured) -> None:
    path = tmp_path / "levels.csv"
    path.write_text("x y z\n0 0 0\n1 0\n1 1 zero\n", encoding="utf-8")
    err = refused(capsys, "falls", path)
    assert "levels.csv, line 3" in err
    assert "levels.csv, line 4" in err


def test_levels_in_one_line_are_refused(tmp_path: Path, capsys: Captured) -> None:
    path = tmp_path / "levels.csv"
    path.write_text("0 0 0\n1 1 0\n2 2 0\n", encoding="utf-8")
    assert "one line" in refused(capsys, "falls", path)

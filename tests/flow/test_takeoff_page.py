"""The page of a take-off, judged by programs that share no code with ours."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import page
import pikepdf
import pytest

from tests.flow.job_folder import laidtrue

ROOF = {
    "title": "=House with a porch",
    "area": [
        {
            "area": "main",
            "name": "Main roof",
            "outline_m": [[0, 0], [7.4, 0], [7.4, 3], [4, 3], [4, 5.2], [0, 5.2]],
            "openings_m": [[[1, 1], [2, 1], [2, 2.2], [1, 2.2]]],
            "mat_g_per_m2": 600,
            "upstands": [{"length_m": 7.4, "height_m": 0.15}],
            "edges": [
                {"edge": "wall", "kind": "wall_fillet", "length_m": 7.4},
                {"edge": "right", "kind": "raised_edge", "length_m": 3},
                {"edge": "eaves", "kind": "drip_edge", "length_m": 3.4},
                {"edge": "left", "kind": "flashing", "length_m": 5.2},
            ],
        },
        {
            "area": "porch",
            "name": "Porch",
            "outline_m": [[0, 0], [2.4, 0], [2.4, 1.2], [0, 1.2]],
            "mat_g_per_m2": 450,
            "edges": [{"edge": "eaves", "kind": "drip_edge", "length_m": 2.4}],
        },
    ],
}


@pytest.fixture(scope="module")
def order(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("order"))


def written(folder: Path) -> Path:
    roof, out = folder / "roof.json", folder / "order.pdf"
    roof.write_text(json.dumps(ROOF), encoding="utf-8")
    run = laidtrue("takeoff", roof, "--deck", "12", "--pdf", out, "--date", "2026-05-12")
    assert (run.status, run.out, run.err) == (0, f"{out}\n", "")
    return out


@pytest.mark.parametrize("profile", ["3a", "ua1"])
def test_order_conforms_to_both_standards(order: Path, profile: str) -> None:
    report = page.validate_pdf_bytes(order.read_bytes(), profile=page.ValidationProfile(profile))
    assert [(failure.rule_id, failure.message) for failure in report.failures] == []


def test_order_is_one_page_with_its_figures_inside(order: Path) -> None:
    with pikepdf.open(order) as pdf:
        assert len(pdf.pages) == 1
        assert set(pdf.attachments) == {"take-off.json", "take-off.csv", "specification.toml"}


def test_order_names_what_to_buy_and_its_day(order: Path) -> None:
    run = subprocess.run(
        ["pdftotext", "-layout", str(order), "-"], capture_output=True, text=True, check=True
    )
    for words in ("4 tins of 20 kg", "12 May 2026", "check it on the roof before ordering"):
        assert words in " ".join(run.stdout.split())


def test_same_roof_and_day_give_the_same_bytes(order: Path, tmp_path: Path) -> None:
    assert written(tmp_path).read_bytes() == order.read_bytes()

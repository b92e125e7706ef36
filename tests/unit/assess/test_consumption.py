"""Resin and topcoat against expectation, by area and by group of bays; glass; first mixes."""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.finding import Finding
from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import LOTS, equipped, findings, only, sound_job

IN, OUT, SILENT = Verdict.WITHIN, Verdict.OUTSIDE, Verdict.NOT_RECORDED
ROOF_M2 = 24


def used(check: str, kg: float, **usage: Any) -> Finding:
    builder = equipped()
    builder.add("usage", used=kg, **usage)
    return only(builder, check, subject=None)


def on_area(check: str, kg_per_m2: float, **usage: Any) -> Finding:
    return used(check, kg_per_m2 * ROOF_M2, **usage)


@pytest.mark.parametrize(
    ("kg_per_m2", "verdict"),
    # 2.5 × 0.45 kg/m² of mat + 0.375: published ratio, project choice of uptake; −10 / +20 %.
    [(1.349, OUT), (1.35, IN), (1.351, IN), (1.799, IN), (1.8, IN), (1.801, OUT)],
)
def test_resin_keeps_the_band_about_its_expectation(kg_per_m2: float, verdict: Verdict) -> None:
    found = on_area("laminate.consumption", kg_per_m2)
    assert (found.lower, found.upper) == (pytest.approx(1.35), pytest.approx(1.8))
    assert found.verdict is verdict
    assert "expected 1.5 kg/m²" in found.exact


@pytest.mark.parametrize(
    ("mat", "layers", "expected"), [(450, ..., 1.5), (600, ..., 1.875), (450, 2, 2.625)]
)
def test_expectation_follows_the_mat(mat: int, layers: Any, expected: float) -> None:
    # 450 g/m² coming to 1.50 kg/m² is a published site figure.
    builder = RecordBuilder.opened()
    builder.add("area", mat_g_per_m2=mat, layers=layers)
    found = only(builder, "laminate.consumption")
    assert found.lower == pytest.approx(expected * 0.9)
    assert found.verdict is SILENT


@pytest.mark.parametrize(
    ("kg_per_m2", "verdict"),
    # 0.40 and never more: common practice, no source; 0.35: project choice.
    [(0.349, OUT), (0.35, IN), (0.351, IN), (0.399, IN), (0.4, IN), (0.401, OUT)],
)
def test_topcoat_keeps_its_band(kg_per_m2: float, verdict: Verdict) -> None:
    topcoat = {"lot": "topcoat-1", "stage": "topcoat"}
    assert on_area("topcoat.consumption", kg_per_m2, **topcoat).verdict is verdict


def test_slope_upstands_and_openings_count() -> None:
    builder = RecordBuilder.opened()
    opening = [[2, 1], [3, 1], [3, 2], [2, 2]]
    upstands = [{"length_m": 4, "height_m": 0.25}]
    builder.add("area", slope_deg=60, openings_m=[opening], upstands=upstands)
    builder.add("lot", lot="resin-1")
    builder.add("usage", used=47)
    # 23 m² in plan on a slope of 60 degrees are 46 m², and 1 m² of upstand.
    assert only(builder, "laminate.consumption").value == pytest.approx(1)


def test_waste_is_not_laid() -> None:
    assert used("laminate.consumption", 40, wasted=4).value == pytest.approx(1.5)


def test_litres_need_the_density_of_the_lot() -> None:
    builder = equipped()
    builder.add("lot", lot="resin-2", density_g_per_ml=1.2)
    builder.add("usage", lot="resin-2", used=30, unit="l")
    assert only(builder, "laminate.consumption").value == pytest.approx(1.5)
    builder.add("usage", lot="resin-1", used=1, unit="l")
    found = only(builder, "laminate.consumption")
    assert found.verdict is SILENT
    assert "cannot be turned into kg" in found.exact


def test_mixes_stand_in_where_nothing_was_weighed() -> None:
    builder = equipped()
    builder.add("mix", kg=36)
    found = only(builder, "laminate.consumption", subject=None)
    assert found.value == pytest.approx(1.5)
    assert "Added up from the mixes" in found.exact


def test_half_an_area_is_not_recorded_until_the_stage_is_signed() -> None:
    builder = equipped()
    builder.add("mix", kg=4.0)
    assert only(builder, "laminate.consumption", subject=None).verdict is SILENT
    builder.add("sign_off", stage="laminate")
    assert only(builder, "laminate.consumption", subject=None).verdict is OUT


def test_weighed_usage_goes_before_the_mixes() -> None:
    builder = equipped()
    builder.add("mix", kg=36)
    builder.add("usage", used=30)
    found = only(builder, "laminate.consumption", subject=None)
    assert found.value == pytest.approx(1.25)
    assert "The mixes made for the area add up to 36 kg." in found.exact


def test_starved_strip_shows_though_the_total_looks_right() -> None:
    builder = equipped()
    builder.add("mix", kg=6, bays=["r1b1", "r1b2", "r1b3", "r1b4", "r1b5", "r1b6"])
    builder.add("mix", kg=30)
    assert only(builder, "laminate.consumption", subject=None).verdict is IN
    strip = only(builder, "laminate.consumption", subject="mix-1")
    assert (strip.value, strip.verdict) == (pytest.approx(1), OUT)


def test_mixes_that_share_a_bay_are_judged_together() -> None:
    builder = equipped()
    builder.add("mix", kg=1, bays=["r1b1", "r1b2"])
    builder.add("mix", kg=1.5, bays=["r1b3"])
    builder.add("mix", kg=2, bays=["r1b2"])
    found = findings(builder, "laminate.consumption", area="main")
    groups = {f.subject: (f.value, f.bay) for f in found if f.subject}
    assert groups == {
        "mix-1+mix-3": (pytest.approx(1.5), None),
        "mix-2": (pytest.approx(1.5), "r1b3"),
    }


def test_chain_of_shared_bays_makes_one_group() -> None:
    builder = equipped()
    for bays in (["r1b1", "r1b2"], ["r1b3", "r1b4"], ["r1b2", "r1b3"]):
        builder.add("mix", kg=2, bays=bays)
    assert only(builder, "laminate.consumption", subject="mix-1+mix-2+mix-3").value == (
        pytest.approx(1.5)
    )


def test_bay_off_the_plan_makes_no_rate() -> None:
    builder = equipped()
    builder.add("mix", kg=2, bays=["r9b9"])
    found = only(builder, "laminate.consumption", subject="mix-1")
    assert found.verdict is Verdict.NOT_RECORDED
    assert "Not on the bay plan: r9b9" in found.exact


@pytest.mark.parametrize(
    ("fraction", "verdict"),
    # Published ranges, widened: project choice.
    [(0.2199, OUT), (0.22, IN), (0.2201, IN), (0.3499, IN), (0.35, IN), (0.3501, OUT)],
)
def test_glass_fraction_leaves_out_the_deck_uptake(fraction: float, verdict: Verdict) -> None:
    glass_kg = 0.45 * ROOF_M2
    resin_kg = glass_kg * (1 - fraction) / fraction + 0.375 * ROOF_M2
    found = used("laminate.glass_fraction", resin_kg)
    assert (found.value, found.verdict) == (pytest.approx(fraction), verdict)


def test_glass_of_half_an_area_is_not_recorded_until_the_stage_is_signed() -> None:
    builder = equipped()
    builder.add("mix", kg=12.0)
    assert only(builder, "laminate.glass_fraction").verdict is SILENT
    builder.add("sign_off", stage="laminate")
    assert only(builder, "laminate.glass_fraction").verdict is OUT


def test_too_little_glass_stands_at_once() -> None:
    builder = equipped()
    builder.add("mix", kg=60.0)
    assert only(builder, "laminate.glass_fraction").verdict is OUT


def test_glass_at_the_usual_ratio_is_two_sevenths() -> None:
    # resin : glass 2.5 : 1 is 28.57 % glass by mass, not 25 or 40 %: definition.
    assert used("laminate.glass_fraction", 36).value == pytest.approx(2 / 7)


def test_mat_that_was_used_goes_before_the_plan() -> None:
    builder = equipped()
    builder.add("lot", lot="mat-1", material="mat", unit="m2", quantity=30)
    builder.add("usage", used=36)
    builder.add("usage", lot="mat-1", used=27, wasted=1, unit="m2")
    found = only(builder, "laminate.glass_fraction")
    assert found.value == pytest.approx(26 * 0.45 / (26 * 0.45 + 27))
    assert "by the mat used" in found.exact


def test_resin_that_the_deck_drank_leaves_no_fraction() -> None:
    assert used("laminate.glass_fraction", 9).verdict is SILENT
    assert used("laminate.glass_fraction", 0).verdict is SILENT


def test_roof_that_nothing_was_used_on_is_outside() -> None:
    assert used("laminate.consumption", 0).verdict is OUT


@pytest.mark.parametrize(
    ("bays", "square_m", "verdict"),
    # 2 m² for the first mix of a day: common practice, no source.
    [
        (["r1b1"], 1, IN),
        (["r1b1", "r1b2"], 2, IN),
        (["r1b1", "r1b2", "r5b1"], 2.15, OUT),
    ],
)
def test_first_mix_of_the_day_is_a_small_one(
    bays: list[str], square_m: float, verdict: Verdict
) -> None:
    builder = equipped()
    builder.add("mix", bays=bays)
    builder.add("mix", bays=["r2b1", "r2b2", "r2b3"])
    found = only(builder, "laminate.first_mix_area")
    assert (found.subject, found.value) == ("mix-1", pytest.approx(square_m))
    assert found.verdict is verdict


def test_every_day_has_a_first_mix_of_its_own() -> None:
    builder = equipped()
    builder.add("mix", bays=["r1b1"])
    builder.wait(days=1)
    builder.add("mix", bays=["r2b1", "r2b2", "r2b3"])
    days = {f.subject: f.verdict for f in findings(builder, "laminate.first_mix_area")}
    assert days == {"mix-1": IN, "mix-2": OUT}


def test_measured_area_goes_before_the_bays() -> None:
    builder = equipped()
    builder.add("mix", bays=["r1b1"])
    check = {"stage": "laminate", "check": "laminate.first_mix_area"}
    builder.add("measurement", **check, value=2.5, unit="m2")
    assert only(builder, "laminate.first_mix_area").value == 2.5


def test_first_mix_without_bays_is_not_recorded() -> None:
    builder = equipped()
    builder.add("mix")
    assert only(builder, "laminate.first_mix_area").verdict is SILENT
    assert only(equipped(), "laminate.first_mix_area").verdict is SILENT


def test_lots_of_the_sound_job_are_what_the_roof_took() -> None:
    assert {lot["lot"] for lot in LOTS} == {"resin-1", "topcoat-1", "catalyst-1"}
    assert only(sound_job(), "laminate.consumption", subject=None).value == pytest.approx(1.5)

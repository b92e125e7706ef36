"""Every figure of the general specification, against the table it was written from.

Each row gives unit, lower, upper and basis. The source of each published figure stands beside it;
"common practice" rows have no source, "project choice" rows were chosen here. "From memory" marks
a standard that was not read for this project.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

import qa.specification
from qa.specification.known_checks import KNOWN_CHECKS
from qa.specification.loader import built_in
from qa.specification.model import Basis, Check, Figure, Form, Need, Per, PhotoPer, Sourced
from qa.trade.conformity import DecisionRule, Limits
from qa.trade.vocabulary import WET_STAGES, EdgeKind, Stage

PUBLISHED, PRACTICE, CHOICE = Basis.PUBLISHED, Basis.COMMON_PRACTICE, Basis.PROJECT_CHOICE
FILE = Path(qa.specification.__file__).with_name("general-grp.toml")
GENERAL = built_in("general-grp/1")

LIMITS = {
    "record.timely": ("h", None, 12, CHOICE),
    "survey.joist_centres": ("mm", None, 600, PRACTICE),
    "survey.fall": ("mm/m", 12.5, None, PUBLISHED),  # BS 6229:2018, 1:80, as quoted
    "survey.back_fall": ("m2", None, 0, PUBLISHED),  # BS 6229:2018, as quoted
    "deck.board_thickness": ("mm", 18, None, PRACTICE),
    "deck.moisture": ("%", None, 18, CHOICE),
    "deck.expansion_gap": ("mm", 20, 35, CHOICE),  # 25 common practice, -5/+10 chosen
    "deck.fixing_centres": ("mm", None, 200, PRACTICE),
    "deck.fixings_across_board": ("1", 4, None, PRACTICE),
    "deck.fixing_penetration": ("mm", 40, None, PRACTICE),
    "deck.offcut_length": ("mm", 400, None, PRACTICE),
    "deck.offcut_joists": ("1", 2, None, PRACTICE),
    "trims.batten_offset": ("mm", 7, 13, CHOICE),  # 10 common practice, +-3 chosen
    "trims.fixing_centres": ("mm", None, 150, PRACTICE),
    "trims.overlap": ("mm", 50, None, PRACTICE),
    "trims.adhesive_beads": ("1", 2, None, PRACTICE),
    "bandage.corner_strip": ("mm", 150, None, PRACTICE),
    "conditions.deck_temperature": ("°C", 5, 35, PUBLISHED),  # supplier's dose chart, its range
    "conditions.air_temperature": ("°C", 5, 35, PUBLISHED),  # the same
    "conditions.dew_margin": ("K", 3, None, PUBLISHED),  # ISO 8502-4:2017 practice, as quoted
    "conditions.humidity": ("%", None, 85, PUBLISHED),  # coating guidance citing ISO 12944-7
    "conditions.interval": ("h", None, 2, CHOICE),
    "mix.batch_in_date": ("d", 0, None, PRACTICE),
    "mix.stir_before": ("s", 30, None, PRACTICE),
    "mix.stir_after": ("s", 30, None, PRACTICE),
    "laminate.crew": ("1", 2, None, PRACTICE),
    "laminate.first_mix_area": ("m2", None, 2, PRACTICE),
    "laminate.mat_overlap": ("mm", 50, None, PRACTICE),
    "laminate.passes": ("1", 4, None, PRACTICE),
    "laminate.wet_out": ("cm2", None, 0, PRACTICE),
    "laminate.pinholes": ("1/m2", None, 0, PRACTICE),
    "laminate.trapped_air": ("1/m2", None, 0, PRACTICE),
    "laminate.glass_fraction": ("1", 0.22, 0.35, CHOICE),
    "laminate.bays_examined": ("%", 100, None, CHOICE),
    "topcoat.interval": ("h", 3, None, CHOICE),
    "topcoat.consumption": ("kg/m2", 0.35, 0.40, CHOICE),  # 0.40 common practice
    "completion.dry_hours": ("h", 24, None, PRACTICE),
    "completion.cured": ("Barcol", 30, None, PUBLISHED),  # ASTM D2583; BS 2782-10 method 1001
    "completion.nonconformities_closed": ("1", None, 0, PUBLISHED),  # ISO 9001:2015 8.7
    "lot.balance": ("%", None, 100, CHOICE),
}

LIMITS_ELSEWHERE = {
    "trims.battens": ("1", PRACTICE),
    "mix.dose": ("ml/kg", CHOICE),  # supplier's published chart; its band chosen
    "mix.used_in_time": ("min", PUBLISHED),  # resin maker's published gel times
    "laminate.roller_loads": ("1/m2", PRACTICE),
}

TOLERANCES = {
    "laminate.thickness": ("mm", 15, None, CHOICE),  # ISO 12215-5 form, from memory; 15 % chosen
    "laminate.consumption": ("kg/m2", 10, 20, CHOICE),  # published ratio; band chosen
}

YES_OR_NO = {
    "stage.photos": CHOICE,
    "stage.signed_off": PUBLISHED,  # ISO 9001:2015 8.6, from memory
    "stage.released": PUBLISHED,  # the same
    "survey.joists_sound": PRACTICE,
    "survey.ventilation": PUBLISHED,  # a warranty body's guidance
    "survey.walls_and_gutters": PRACTICE,
    "deck.board": PUBLISHED,  # BS EN 300:2006
    "deck.dry": PRACTICE,
    "deck.fixing_type": PRACTICE,
    "deck.joints_staggered": PRACTICE,
    "deck.laid_across_joists": PRACTICE,
    "deck.wider_groove_up": PRACTICE,
    "trims.perimeter_complete": PRACTICE,
    "trims.line": PRACTICE,
    "bandage.joints_covered": PRACTICE,
    "bandage.wet_out": PRACTICE,
    "conditions.dry": PRACTICE,
    "mix.traceable": PUBLISHED,  # ISO 9001:2015 8.5.2
    "topcoat.laminate_cured": PRACTICE,
    "topcoat.sanded": PRACTICE,
    "topcoat.wiped": PRACTICE,
    "topcoat.coverage": PRACTICE,
    "completion.edges_clean": PRACTICE,
    "completion.site_clean": PRACTICE,
    "completion.flashings": PRACTICE,
}

FIGURES = {
    "resin_to_glass": (2.5, "1", PUBLISHED),  # suppliers' laminating guides
    "deck_uptake_kg_per_m2": (0.375, "kg/m2", CHOICE),
    "topcoat_kg_per_m2": (0.40, "kg/m2", PRACTICE),
    "glass_g_per_cm3": (2.56, "g/cm3", PUBLISHED),  # ISO 12215-5, from memory
    "cured_resin_g_per_cm3": (1.20, "g/cm3", PUBLISHED),  # a maker's data for cast resin
    "topcoat_g_per_cm3": (1.25, "g/cm3", CHOICE),
    "catalyst_g_per_ml": (1.18, "g/ml", PUBLISHED),  # a maker's data sheet of June 2005
    "bandage_width_mm": (75, "mm", CHOICE),
    "bandage_g_per_m2": (450, "g/m2", CHOICE),
    "mat_width_m": (1.0, "m", PRACTICE),
    "mat_overlap_m": (0.05, "m", PRACTICE),
    "bay_length_m": (1.0, "m", PRACTICE),
    "cure_doubling_k": (10, "K", CHOICE),
    "cure_floor_c": (5, "°C", CHOICE),
    "cure_reference_c": (20, "°C", CHOICE),
    "cure_longest_gap_h": (2, "h", CHOICE),
    "stir_after_topcoat_s": (60, "s", PRACTICE),
    "topcoat_clock_hours": (72, "h", CHOICE),
    "reading_holds_h": (2, "h", CHOICE),
}

UNCERTAINTIES = {
    "mass_kg": (0.05, "kg", CHOICE),
    "catalyst_ml": (3, "ml", CHOICE),
    "outline_m": (0.01, "m", CHOICE),
    "bay_edge_m": (0.05, "m", CHOICE),
    "mat_pct": (5, "%", CHOICE),
    "level_mm": (2, "mm", CHOICE),
}

CHECKS = list(GENERAL.checks.values())


def figure_named(name: str) -> Figure:
    figure = getattr(GENERAL.figures, name)
    assert isinstance(figure, Figure)
    return figure


def everything_sourced() -> list[tuple[str, Sourced]]:
    charts = {
        "resin_dose": GENERAL.resin_dose,
        "topcoat_dose": GENERAL.topcoat_dose,
        "gel_time": GENERAL.gel_time,
    }
    figures = {name: figure_named(name) for name in FIGURES}
    stand_ins = {name: getattr(GENERAL.uncertainty, name) for name in UNCERTAINTIES}
    of_limits = [*GENERAL.checks.items(), *charts.items(), *GENERAL.battens.items()]
    return [*of_limits, *figures.items(), *stand_ins.items()]


@pytest.mark.parametrize(("key", "row"), LIMITS.items(), ids=LIMITS)
def test_limit_is_that_of_the_table(
    key: str, row: tuple[str, float | None, float | None, Basis]
) -> None:
    check = GENERAL.checks[key]
    assert (check.unit, check.limits.lower, check.limits.upper, check.basis) == row
    assert (check.below_pct, check.above_pct) == (None, None)


@pytest.mark.parametrize(("key", "row"), LIMITS_ELSEWHERE.items(), ids=LIMITS_ELSEWHERE)
def test_check_judged_by_others_has_no_limits(key: str, row: tuple[str, Basis]) -> None:
    check = GENERAL.checks[key]
    assert (check.unit, check.basis) == row
    assert (check.limits, check.below_pct, check.above_pct) == (Limits(), None, None)


@pytest.mark.parametrize(("key", "row"), TOLERANCES.items(), ids=TOLERANCES)
def test_tolerance_is_that_of_the_table(
    key: str, row: tuple[str, float | None, float | None, Basis]
) -> None:
    check = GENERAL.checks[key]
    assert (check.unit, check.below_pct, check.above_pct, check.basis) == row
    assert check.limits == Limits()


@pytest.mark.parametrize(("key", "basis"), YES_OR_NO.items(), ids=YES_OR_NO)
def test_yes_is_the_good_answer(key: str, basis: Basis) -> None:
    check = GENERAL.checks[key]
    assert (check.basis, check.expects, check.unit, check.limits) == (basis, True, None, Limits())


def test_tables_name_every_check_once() -> None:
    named = [*LIMITS, *LIMITS_ELSEWHERE, *TOLERANCES, *YES_OR_NO]
    assert sorted(named) == sorted(GENERAL.checks) == sorted(KNOWN_CHECKS)
    assert len(named) == 71


def test_either_form_takes_measurement_or_answer() -> None:
    either = {check.key: check.expects for check in CHECKS if check.form is Form.EITHER}
    assert either == {
        "survey.back_fall": False,  # the question is whether any area drains the wrong way
        "bandage.corner_strip": True,
        "completion.cured": True,
    }


def test_silence_is_a_finding_but_for_four() -> None:
    spared = {check.key for check in CHECKS if check.need is Need.IF_RECORDED}
    assert spared == {
        "record.timely",
        "laminate.roller_loads",
        "laminate.thickness",
        "lot.balance",
    }


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_check_stands_under_its_stages(check: Check) -> None:
    group = check.key.partition(".")[0]
    hold_points = tuple(rule.stage for rule in GENERAL.stages if rule.hold_point)
    expected = {
        "record": tuple(Stage),
        "stage": hold_points if check.key == "stage.released" else tuple(Stage),
        "conditions": WET_STAGES,
        "mix": WET_STAGES,
        "lot": (Stage.COMPLETION,),
    }
    assert check.stages == (expected[group] if group in expected else (Stage(group),))


def test_findings_are_about_what_can_be_named() -> None:
    for check in CHECKS:
        if check.key.startswith("mix."):
            assert check.per is Per.MIX
        elif check.form is not Form.COMPUTED:
            assert check.per in (Per.JOB, Per.AREA, Per.EDGE)
    edges = [check.key for check in CHECKS if check.per is Per.EDGE]
    assert edges == ["trims.battens", "trims.batten_offset"]


@pytest.mark.parametrize(("name", "row"), FIGURES.items(), ids=FIGURES)
def test_figure_is_that_of_the_table(name: str, row: tuple[float, str, Basis]) -> None:
    figure = figure_named(name)
    assert (figure.value, figure.unit, figure.basis) == row


@pytest.mark.parametrize(("name", "row"), UNCERTAINTIES.items(), ids=UNCERTAINTIES)
def test_uncertainty_is_that_of_the_table(name: str, row: tuple[float, str, Basis]) -> None:
    figure = getattr(GENERAL.uncertainty, name)
    assert (figure.value, figure.unit, figure.basis) == row


def test_resin_chart_is_that_of_the_table() -> None:
    # Supplier's published dose chart, medium-reactivity MEKP, 5 to 35 °C: 4/3/2/1 %, or
    # 40/30/20/10 ml/kg; the bands of 15 %, cut off at 10 and 40, were chosen here.
    assert GENERAL.resin_dose.basis is CHOICE
    rows = GENERAL.resin_dose.chart.rows
    assert [(row.from_c, row.to_c, row.includes_to) for row in rows] == [
        (5, 13, False),
        (13, 16, False),
        (16, 20, False),
        (20, 35, True),
    ]
    doses = [(row.target_ml_per_kg, row.lower_ml_per_kg, row.upper_ml_per_kg) for row in rows]
    assert doses == [(40, 34, 40), (30, 25.5, 34.5), (20, 17, 23), (10, 10, 11.5)]


def test_resin_band_is_fifteen_percent_inside_the_chart() -> None:
    for row in GENERAL.resin_dose.chart.rows:
        band = (max(10.0, row.target_ml_per_kg * 0.85), min(40.0, row.target_ml_per_kg * 1.15))
        assert (row.lower_ml_per_kg, row.upper_ml_per_kg) == pytest.approx(band)


def test_topcoat_chart_is_that_of_the_table() -> None:
    # Published guides of suppliers: never below 1.5 %, at most 2 % or 3 %.
    assert GENERAL.topcoat_dose.basis is PUBLISHED
    (row,) = GENERAL.topcoat_dose.chart.rows
    assert (row.from_c, row.to_c, row.includes_to) == (5, 35, True)
    assert (row.target_ml_per_kg, row.lower_ml_per_kg, row.upper_ml_per_kg) == (20, 15, 30)


def test_gel_time_keeps_the_leaflet_in_its_band() -> None:
    # A resin maker's published leaflet, min at °C and ml/kg.
    assert GENERAL.gel_time.basis is PUBLISHED
    model = GENERAL.gel_time.model
    for deck_c, dose, gel_min in ((15, 10, 74), (15, 20, 28), (20, 10, 48), (20, 20, 19)):
        estimate = model.estimate(deck_c, dose)
        assert estimate.gel_min == pytest.approx(gel_min, rel=0.02)
        assert not estimate.extrapolated
    assert (model.domain.from_c, model.domain.to_c) == (5, 30)
    assert (model.domain.from_ml_per_kg, model.domain.to_ml_per_kg) == (10, 40)
    assert model.estimate(10, 40).extrapolated


def test_expected_resin_is_a_published_site_figure() -> None:
    # A supplier's page: 1.5 kg/m2 for patches; 2.5 x 0.600 + 0.375 by the same rule.
    per_glass = GENERAL.figures.resin_to_glass.value
    uptake = GENERAL.figures.deck_uptake_kg_per_m2.value
    assert per_glass * 0.450 + uptake == pytest.approx(1.500)
    assert per_glass * 0.600 + uptake == pytest.approx(1.875)


def test_battens_are_those_of_the_table() -> None:
    battens = {kind: (figure.value, figure.basis) for kind, figure in GENERAL.battens.items()}
    assert battens == {EdgeKind.DRIP_EDGE: (2, PRACTICE), EdgeKind.RAISED_EDGE: (1, PRACTICE)}


def test_stages_are_in_order_with_their_hold_points() -> None:
    assert tuple(rule.stage for rule in GENERAL.stages) == tuple(Stage)
    held = {rule.stage for rule in GENERAL.stages if rule.hold_point}
    assert held == {Stage.DECK, Stage.BANDAGE, Stage.LAMINATE, Stage.TOPCOAT}
    covered = {rule.stage: rule.covered_by for rule in GENERAL.stages if rule.covered_by}
    assert covered == {
        Stage.DECK: Stage.LAMINATE,
        Stage.TRIMS: Stage.LAMINATE,
        Stage.BANDAGE: Stage.LAMINATE,
        Stage.LAMINATE: Stage.TOPCOAT,
    }
    assert GENERAL.stage_rule(Stage.LAMINATE).title == "Laminate"


def test_stages_ask_for_the_photos_of_the_table() -> None:
    asked = {
        rule.stage: [(request.per, request.least) for request in rule.photos]
        for rule in GENERAL.stages
    }
    assert asked == {
        Stage.SURVEY: [(PhotoPer.JOB, 1), (PhotoPer.JOB, 1)],
        Stage.DECK: [(PhotoPer.AREA, 1), (PhotoPer.AREA, 1), (PhotoPer.AREA, 1)],
        Stage.TRIMS: [(PhotoPer.EDGE_KIND, 1), (PhotoPer.CORNER, 1), (PhotoPer.AREA, 1)],
        Stage.BANDAGE: [(PhotoPer.CORNER, 1)],
        Stage.LAMINATE: [(PhotoPer.BAY_ROW, 1), (PhotoPer.DEFECT, 2), (PhotoPer.LOT, 1)],
        Stage.TOPCOAT: [],
        Stage.COMPLETION: [(PhotoPer.JOB, 2), (PhotoPer.EDGE, 1), (PhotoPer.JOB, 1)],
    }


@pytest.mark.parametrize(("name", "sourced"), everything_sourced())
def test_every_source_is_one_honest_text(name: str, sourced: Sourced) -> None:
    assert sourced.source.strip().endswith("."), name
    if sourced.basis is PRACTICE:
        assert "Common practice of the trade; no published source." in sourced.source
    if sourced.basis is CHOICE:
        assert re.search(r"[Cc]hosen|project choice", sourced.source)
    if sourced.basis is PUBLISHED:
        assert re.search(r"published|Published|ISO|BS|ASTM", sourced.source)
    assert not re.search(r"https?:|www\.|\.com|\.uk", sourced.source)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_plain_words_continue_into_a_sentence(check: Check) -> None:
    assert check.plain[0].isupper()
    assert check.plain[-1] not in ".,;:"
    if check.unit is None:
        assert check.plain.startswith("Whether ")
    for sentence in (check.plain_good, check.plain_bad):
        assert sentence is None or (sentence[0].isupper() and sentence.endswith("."))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_homeowner_meets_no_jargon(check: Check) -> None:
    jargon = r"\b(GRP|CSM|MEKP|catalyst|consumption|wet.out|bandage|bays?|joists?|trims?|lots?)\b"
    words = " ".join(filter(None, (check.plain, check.plain_good, check.plain_bad)))
    assert not re.search(jargon, words, re.IGNORECASE)


def test_general_specification_accepts_simply() -> None:
    assert GENERAL.rule is DecisionRule.SIMPLE
    assert GENERAL.name == "general-grp/1"
    assert "data sheet" in GENERAL.note


def test_digest_is_that_of_the_file() -> None:
    assert GENERAL.sha256 == hashlib.sha256(FILE.read_bytes()).hexdigest()

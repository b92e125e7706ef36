"""Broken twins of the general specification, each with the one sentence that it must bring."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import qa.specification
from qa.errors import LaidtrueError, Problem, SpecificationError
from qa.specification.known_checks import KNOWN_CHECKS
from qa.specification.loader import built_in, load_specification, parse_specification
from qa.specification.model import Need
from qa.trade.conformity import DecisionRule
from qa.trade.vocabulary import EdgeKind, Stage

GOOD = Path(qa.specification.__file__).with_name("general-grp.toml").read_text(encoding="utf-8")
FILE = "our-firm.toml"

SOURCED_ROW = "{ from_c = 13, to_c = 16, target"
ONLY_ROW = "{ from_c = 5, to_c = 35, includes_to = true, target"


def twin(section: str, key: str, literal: str | None) -> str:
    """The good file with one key of one section set to `literal`, added, or left out (None)."""
    lines = GOOD.splitlines()
    start = lines.index(f"[{section}]") + 1 if section else 0
    end = next((n for n in range(start, len(lines)) if lines[n][:1] == "["), len(lines))
    new = [] if literal is None else [f"{key} = {literal}"]
    for first in range(start, end):
        if lines[first].startswith(f"{key} = "):
            last = lines.index("]", first) if lines[first].endswith("[") else first
            return "\n".join([*lines[:first], *new, *lines[last + 1 :]])
    assert new, f"{section} has no {key}"
    return "\n".join([*lines[:start], *new, *lines[start:]])


def without_section(section: str) -> str:
    lines = GOOD.splitlines()
    start = lines.index(f"[{section}]")
    end = next((n for n in range(start + 1, len(lines)) if lines[n][:1] == "["), len(lines))
    return "\n".join([*lines[:start], *lines[end:]])


def replaced(old: str, new: str) -> str:
    assert GOOD.count(old) == 1
    return GOOD.replace(old, new)


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(SpecificationError) as caught:
        parse_specification(text.encode(), file=FILE)
    return caught.value.problems


def test_good_file_loads_from_its_path(tmp_path: Path) -> None:
    path = tmp_path / FILE
    path.write_text(GOOD, encoding="utf-8")
    assert load_specification(path) == built_in("general-grp/1")


def test_digest_is_sha256_of_the_bytes() -> None:
    content = GOOD.encode() + b"\n# ours\n"
    loaded = parse_specification(content, file=FILE)
    assert loaded.sha256 == hashlib.sha256(content).hexdigest() != built_in(loaded.name).sha256


def test_line_ends_and_byte_order_mark_of_an_editor_are_taken() -> None:
    content = b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode()
    assert parse_specification(content, file=FILE).checks == built_in("general-grp/1").checks


def test_firm_changes_a_limit_its_basis_and_source() -> None:
    text = twin("check.deck.moisture", "upper", "16.5").replace('"general-grp/1"', '"our-firm/3"')
    loaded = parse_specification(text.encode(), file=FILE)
    assert (loaded.name, loaded.checks["deck.moisture"].limits.upper) == ("our-firm/3", 16.5)


def test_firm_spares_a_check_in_the_open() -> None:
    text = twin("check.deck.moisture", "need", '"if_recorded"')
    check = parse_specification(text.encode(), file=FILE).checks["deck.moisture"]
    assert check.need is Need.IF_RECORDED


def test_firm_chooses_guarded_acceptance() -> None:
    text = twin("", "decision_rule", '"guarded"')
    assert parse_specification(text.encode(), file=FILE).rule is DecisionRule.GUARDED


def test_firm_limits_a_check_that_is_only_shown() -> None:
    text = twin("check.laminate.roller_loads", "lower", "9")
    check = parse_specification(text.encode(), file=FILE).checks["laminate.roller_loads"]
    assert check.limits.lower == 9


def test_firm_without_a_gauge_answers_by_yes_or_no() -> None:
    text = twin("check.completion.cured", "form", '"observed"')
    text = text.replace('unit = "Barcol"\nlower = 30\n', "")
    check = parse_specification(text.encode(), file=FILE).checks["completion.cured"]
    assert (check.unit, check.expects) == (None, True)


def test_edge_kind_without_battens_may_be_left_out() -> None:
    loaded = parse_specification(without_section("battens.drip_edge").encode(), file=FILE)
    assert list(loaded.battens) == [EdgeKind.RAISED_EDGE]


def test_firm_moves_a_hold_point_with_its_release() -> None:
    text = twin("stage.trims", "hold_point", "true").replace(
        'stages = ["deck", "bandage", "laminate", "topcoat"]',
        'stages = ["deck", "trims", "bandage", "laminate", "topcoat"]',
    )
    loaded = parse_specification(text.encode(), file=FILE)
    assert loaded.stage_rule(Stage.TRIMS).hold_point
    assert Stage.TRIMS in loaded.checks["stage.released"].stages


# One key of one section broken: section, key, its literal (None: left out), and the sentence.
MOISTURE, CURED = "check.deck.moisture", "check.completion.cured"
ALL_BASES = '"published", "common practice", "project choice"'
ALL_STAGES = '"survey", "deck", "trims", "bandage", "laminate", "topcoat", "completion"'
IN_A_CHART = "the limits of this check stand in a chart or another figure of this file"

BROKEN_KEYS: Mapping[str, tuple[str, str, str | None, str]] = {
    "name missing": ("", "name", None, "name is missing; add it."),
    "name without version": (
        "",
        "name",
        '"our-firm"',
        'name is "our-firm"; write a key and a version, such as "our-firm/1".',
    ),
    "title empty": ("", "title", '" "', "title is empty; write the text."),
    "rule unknown": (
        "",
        "decision_rule",
        '"kind"',
        'decision_rule is "kind"; it must be one of "simple", "guarded".',
    ),
    "key unknown at the top": (
        "",
        "titel",
        '"x"',
        "titel is not a key that belongs here; correct or remove it.",
    ),
    "limit as text": (
        MOISTURE,
        "upper",
        '"18"',
        'upper is "18"; write a number without quotes.',
    ),
    "limit as flag": (MOISTURE, "upper", "true", "upper is true; write a number without quotes."),
    "limit not a number": (
        MOISTURE,
        "upper",
        "nan",
        "upper is nan; no figure of a roof is like that.",
    ),
    "limit infinite": (MOISTURE, "upper", "inf", "upper is inf; no figure of a roof is like that."),
    "limit beyond a float": (
        MOISTURE,
        "upper",
        "1" + "0" * 400,
        f"upper is 1{'0' * 59}; no figure of a roof is like that.",
    ),
    "limit misspelt": (
        MOISTURE,
        "uper",
        "18",
        "uper is not a key that belongs here; correct or remove it.",
    ),
    "limit removed": (
        MOISTURE,
        "upper",
        None,
        "lower and upper are both missing; write one or both.",
    ),
    "lower above upper": (
        "check.deck.expansion_gap",
        "lower",
        "40",
        "lower limit is 40.0; it must be 35 or less, the upper limit.",
    ),
    "percent where nothing is expected": (
        MOISTURE,
        "below_pct",
        "5",
        "nothing is expected in percent here: remove below_pct and above_pct.",
    ),
    "percent negative": (
        "check.laminate.consumption",
        "above_pct",
        "-1",
        "above_pct is -1; write a share from 0 to 1000 %.",
    ),
    "percent more than all": (
        "check.laminate.thickness",
        "below_pct",
        "101",
        "below_pct is 101; write a share from 0 to 100 %.",
    ),
    "percent removed": (
        "check.laminate.thickness",
        "below_pct",
        None,
        "below_pct and above_pct are both missing; write one or both.",
    ),
    "limit beside a percent": (
        "check.laminate.thickness",
        "lower",
        "1",
        "this check is judged by below_pct and above_pct: remove lower and upper.",
    ),
    "limit beside a chart": (
        "check.mix.dose",
        "lower",
        "10",
        f"{IN_A_CHART}: remove lower and upper.",
    ),
    "limit on yes or no": (
        "check.deck.dry",
        "lower",
        "1",
        "this check is yes or no: remove lower and upper.",
    ),
    "unit unknown": (
        MOISTURE,
        "unit",
        '"furlong"',
        'unit is "furlong"; this check is judged in "%".',
    ),
    "unit missing": (MOISTURE, "unit", None, 'unit is missing; write unit = "%".'),
    "unit on yes or no": (
        "check.deck.dry",
        "unit",
        '"%"',
        'unit is "%"; this check is yes or no: remove unit.',
    ),
    "basis unknown": (
        MOISTURE,
        "basis",
        '"hearsay"',
        f'basis is "hearsay"; it must be one of {ALL_BASES}.',
    ),
    "basis missing": (MOISTURE, "basis", None, "basis is missing; add it."),
    "source empty": (MOISTURE, "source", '""', "source is empty; write the text."),
    "source as number": (MOISTURE, "source", "7", "source is 7; write a text in quotes."),
    "stage unknown": (
        MOISTURE,
        "stages",
        '["roof"]',
        f'stages is "roof"; it must be one of {ALL_STAGES}.',
    ),
    "stage wrong": (
        MOISTURE,
        "stages",
        '["survey"]',
        "this check is judged under deck; name just that in stages.",
    ),
    "stage dropped": (
        "check.mix.dose",
        "stages",
        '["laminate", "topcoat"]',
        "this check is judged under bandage, laminate and topcoat; name just that in stages.",
    ),
    "stages twice": (
        MOISTURE,
        "stages",
        '["deck", "deck"]',
        "stages names something twice; name each once.",
    ),
    "stages none": (MOISTURE, "stages", "[]", "stages is an empty list; name at least one."),
    "stages as text": (MOISTURE, "stages", '"deck"', 'stages is "deck"; write a list in [ ].'),
    "form that cannot be computed": (
        MOISTURE,
        "form",
        '"computed"',
        'form is "computed"; this check is measured, observed or either.',
    ),
    "form that cannot be measured": (
        "check.deck.dry",
        "form",
        '"measured"',
        'form is "measured"; this check is observed.',
    ),
    "form of a computed check": (
        "check.mix.dose",
        "form",
        '"measured"',
        'form is "measured"; the assessment computes it: write "computed".',
    ),
    "per of a computed check": (
        "check.mix.dose",
        "per",
        '"area"',
        'per is "area"; it is computed per "mix".',
    ),
    "per that no reading names": (
        MOISTURE,
        "per",
        '"mix"',
        'per is "mix"; it must be one of job, area, edge or bay.',
    ),
    "expected answer missing": (
        CURED,
        "expects",
        None,
        "expects is missing; a check that is answered yes or no needs it.",
    ),
    "good words missing": (
        "check.deck.dry",
        "plain_good",
        None,
        "plain_good is missing; a check that is answered yes or no needs it.",
    ),
    "expected answer as flag": (
        CURED,
        "expects",
        "true",
        'expects is true; it must be one of "yes", "no".',
    ),
    "answer to a number": (
        MOISTURE,
        "plain_good",
        '"Dry."',
        "plain_good has no meaning here, for nobody answers yes or no: remove it.",
    ),
    "hold point as text": (
        "stage.survey",
        "hold_point",
        '"no"',
        'hold_point is "no"; write true or false, without quotes.',
    ),
    "covered by an earlier stage": (
        "stage.laminate",
        "covered_by",
        '"bandage"',
        "bandage has no mix that could cover this stage; correct it.",
    ),
    "covered by a dry stage": (
        "stage.deck",
        "covered_by",
        '"trims"',
        "trims has no mix that could cover this stage; correct it.",
    ),
    "photos as text": ("stage.topcoat", "photos", '"all"', 'photos is "all"; write a list in [ ].'),
    "photo not a table": (
        "stage.topcoat",
        "photos",
        '["all"]',
        'row 1 of photos is "all"; write { … }.',
    ),
    "figure nought": (
        "figure.resin_to_glass",
        "value",
        "0",
        "value is 0; it must be more than 0.",
    ),
    "figure negative": (
        "figure.deck_uptake_kg_per_m2",
        "value",
        "-0.1",
        "value is -0.1; it must be 0 or more.",
    ),
    "figure in another unit": (
        "figure.glass_g_per_cm3",
        "unit",
        '"kg/m3"',
        'unit is "kg/m3"; the arithmetic counts this in "g/cm3".',
    ),
    "uncertainty negative": (
        "uncertainty.mass_kg",
        "value",
        "-0.05",
        "value is -0.05; it must be 0 or more.",
    ),
    "uncertainty in another unit": (
        "uncertainty.catalyst_ml",
        "unit",
        '"l"',
        'unit is "l"; the arithmetic counts this in "ml".',
    ),
    "figure missing": ("figure.mat_width_m", "value", None, "value is missing; add it."),
    "battens in part": (
        "battens.drip_edge",
        "value",
        "1.5",
        "drip_edge has 1.5 battens; write a whole number.",
    ),
    "spread below one": (
        "gel_time",
        "spread_ratio",
        "0.5",
        "spread of gel times between products is 0.5; it must be 1 or more.",
    ),
}


@pytest.mark.parametrize(
    ("section", "key", "literal", "sentence"), BROKEN_KEYS.values(), ids=BROKEN_KEYS
)
def test_broken_key_brings_its_one_sentence(
    section: str, key: str, literal: str | None, sentence: str
) -> None:
    (problem,) = problems_of(twin(section, key, literal))
    assert problem.sentence == sentence
    assert problem.field is not None


# A passage replaced: old, new, the place and the end of the sentence.
BROKEN_PASSAGES: Mapping[str, tuple[str, str, str, str]] = {
    "hole in a chart": (
        SOURCED_ROW,
        SOURCED_ROW.replace("13", "14"),
        "chart.resin_dose",
        "the chart has a hole from 13 to 14 °C.",
    ),
    "overlap in a chart": (
        SOURCED_ROW,
        SOURCED_ROW.replace("13", "12"),
        "chart.resin_dose",
        "the chart's rows overlap from 12 to 13 °C.",
    ),
    "row of a chart upside down": (
        ONLY_ROW,
        ONLY_ROW.replace("to_c = 35", "to_c = 4"),
        "chart.topcoat_dose.rows, row 1",
        "end of the chart row from 5 to 4 °C is 4 °C; it must be above 5 °C.",
    ),
    "target outside its band": (
        "target_ml_per_kg = 30",
        "target_ml_per_kg = 36",
        "chart.resin_dose.rows, row 2",
        "it must be 25.5 to 34.5.",
    ),
    "row of a chart with a key too many": (
        SOURCED_ROW,
        SOURCED_ROW.replace("{", "{ note = 1,"),
        "chart.resin_dose.rows, row 2",
        "note is not a key that belongs here; correct or remove it.",
    ),
    "gel time nought": (
        "gel_min = 74",
        "gel_min = 0",
        "gel_time.points, row 1",
        "gel time, min is 0.0; it must be above 0.",
    ),
    "gel time rising with temperature": (
        "gel_min = 48",
        "gel_min = 480",
        "gel_time",
        "falling with both: a warmer or richer mix gels sooner.",
    ),
    "gel domain upside down": (
        "from_c = 5, to_c = 30, from_ml",
        "from_c = 5, to_c = 3, from_ml",
        "gel_time.domain",
        "it must be above 5.",
    ),
    "photo asked for no times": (
        'from at least two sides", per = "job", least = 2',
        'from at least two sides", per = "job", least = 0',
        "stage.completion.photos, row 1",
        "least is 0; write a whole number, 1 or more.",
    ),
    "photo asked for one and a half times": (
        'from at least two sides", per = "job", least = 2',
        'from at least two sides", per = "job", least = 1.5',
        "stage.completion.photos, row 1",
        "least is 1.5; write a whole number, 1 or more.",
    ),
    "photo of another stage's check": (
        'checks = ["trims.overlap"]',
        'checks = ["deck.moisture"]',
        "stage.trims.photos, row 3",
        "deck.moisture is not a check of this stage; correct or remove it.",
    ),
    "photo of no check": (
        'checks = ["trims.overlap"]',
        'checks = ["trims.overlaps"]',
        "stage.trims.photos, row 3",
        "trims.overlaps is not a check of this stage; correct or remove it.",
    ),
    "photo checks not texts": (
        'checks = ["trims.overlap"]',
        "checks = [3]",
        "stage.trims.photos, row 3",
        "checks holds something that is not a text; write each in quotes.",
    ),
    "edge kind unknown": (
        "[battens.drip_edge]",
        "[battens.drop_edge]",
        "battens",
        "drop_edge is not a key that belongs here; correct or remove it.",
    ),
    "overlap wider than the mat": (
        "[figure.mat_overlap_m]\nvalue = 0.05",
        "[figure.mat_overlap_m]\nvalue = 1.5",
        "figure",
        "mat_overlap_m must be less than mat_width_m.",
    ),
    "cure floor above its reference": (
        'value = 5\nunit = "°C"',
        'value = 25\nunit = "°C"',
        "figure",
        "cure_floor_c must be less than cure_reference_c.",
    ),
    "hold point without a release": (
        'stages = ["deck", "bandage", "laminate", "topcoat"]',
        'stages = ["deck", "bandage", "laminate"]',
        "check.stage.released",
        "judged under deck, bandage, laminate and topcoat; name just that in stages.",
    ),
    "group of checks not a table": (
        "[check.stage.photos]",
        "[check]\nextra = 3\n[check.stage.photos]",
        "check",
        "extra is 3; it must be a table of its own.",
    ),
}


@pytest.mark.parametrize(
    ("old", "new", "path", "ending"), BROKEN_PASSAGES.values(), ids=BROKEN_PASSAGES
)
def test_broken_passage_names_its_place(old: str, new: str, path: str, ending: str) -> None:
    (problem,) = problems_of(replaced(old, new))
    assert problem.place == f"{FILE}, {path}"
    assert problem.sentence.endswith(ending)


@pytest.mark.parametrize("key", KNOWN_CHECKS)
def test_no_check_can_be_dropped_unseen(key: str) -> None:
    (problem,) = problems_of(without_section(f"check.{key}"))
    assert problem.field == f"check.{key}"
    assert problem.sentence.startswith(f"{key} is missing; ")
    assert 'need = "if_recorded"' in problem.sentence


def test_check_that_nothing_judges_is_refused() -> None:
    text = replaced("[check.deck.moisture]", "[check.deck.damp]")
    sentences = [problem.sentence for problem in problems_of(text)]
    assert sentences[0] == "damp is not a check that is judged; correct or remove it."
    assert sentences[1].startswith("deck.moisture is missing; ")


@pytest.mark.parametrize(
    "section", ["stage.deck", "chart.resin_dose", "figure.mat_width_m", "uncertainty.mass_kg"]
)
def test_missing_section_is_one_fault(section: str) -> None:
    (problem,) = problems_of(without_section(section))
    table, _, key = section.rpartition(".")
    assert (problem.place, problem.sentence) == (f"{FILE}, {table}", f"{key} is missing; add it.")


def test_all_faults_come_in_one_error() -> None:
    text = twin(MOISTURE, "upper", "nan")
    text = text.replace('basis = "common practice"', 'basis = "hearsay"', 1)
    text = text.replace(SOURCED_ROW, SOURCED_ROW.replace("13", "14"))
    text = text.replace("value = 0.375", 'value = "0.375"')
    fields = [problem.field for problem in problems_of(text)]
    assert fields == [
        "check.survey.joist_centres.basis",
        "check.deck.moisture.upper",
        "chart.resin_dose.rows",
        "figure.deck_uptake_kg_per_m2.value",
    ]


def test_error_prints_one_line_for_each_fault() -> None:
    with pytest.raises(LaidtrueError) as caught:
        parse_specification(twin(MOISTURE, "upper", "nan").encode(), file=FILE)
    assert str(caught.value) == (
        "our-firm.toml, check.deck.moisture: upper is nan; no figure of a roof is like that."
    )


def test_empty_file_names_what_every_file_needs() -> None:
    missing = {problem.field for problem in problems_of("")}
    tables = {"stage", "check", "chart", "gel_time", "figure", "uncertainty", "battens"}
    assert missing >= tables | {"name", "title", "note", "decision_rule"}


def test_toml_slip_is_named_with_its_line() -> None:
    (problem,) = problems_of(replaced("upper = 600", "upper 600"))
    assert problem.line == GOOD[: GOOD.index("upper = 600")].count("\n") + 1
    assert problem.place == f"{FILE}, line {problem.line}"
    assert problem.sentence.startswith("the text is not TOML: ")


def test_key_written_twice_is_refused() -> None:
    (problem,) = problems_of(replaced("upper = 600", "upper = 600\nupper = 650"))
    assert problem.sentence.startswith("the text is not TOML: Cannot overwrite a value")


def test_text_cut_short_is_named_at_its_last_line() -> None:
    (problem,) = problems_of('name = "x/1"\nrows = [')
    assert problem.line == 2


@pytest.mark.parametrize("text", ["x = " + "[" * 5000, "x = 1" + "0" * 5000])
def test_text_that_overwhelms_the_reader_is_refused(text: str) -> None:
    (problem,) = problems_of(text)
    assert problem.sentence.startswith("the text is not TOML: ")


def test_text_in_another_encoding_is_named_with_its_line() -> None:
    content = GOOD.encode().replace("°".encode(), b"\xb0")
    with pytest.raises(SpecificationError) as caught:
        parse_specification(content, file=FILE)
    (problem,) = caught.value.problems
    assert problem.line == GOOD[: GOOD.index("°")].count("\n") + 1
    assert problem.sentence == "the text is not UTF-8; save the file as UTF-8."


def test_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(SpecificationError, match=r"^none\.toml: there is no such file; check"):
        load_specification(tmp_path / "none.toml")


def test_folder_in_place_of_a_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(SpecificationError, match=r": this is a folder; name the file in it\.$"):
        load_specification(tmp_path)


def test_folder_without_a_name_is_named_too() -> None:
    with pytest.raises(SpecificationError, match=r"^\.: this is a folder"):
        load_specification(Path())


def test_file_below_a_file_cannot_be_opened(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("")
    with pytest.raises(SpecificationError, match="the file cannot be opened: Not a directory"):
        load_specification(tmp_path / "plain" / FILE)


def test_unknown_built_in_names_the_known_ones() -> None:
    with pytest.raises(SpecificationError, match=r"there is general-grp/1\.$"):
        built_in("general-grp/2")


@given(st.binary(max_size=200))
def test_any_bytes_are_refused_in_words(content: bytes) -> None:
    with pytest.raises(SpecificationError) as caught:
        parse_specification(content, file=FILE)
    assert caught.value.problems
    assert all(problem.sentence.endswith(".") for problem in caught.value.problems)


def sections() -> list[str]:
    return [line.strip("[]") for line in GOOD.splitlines() if line.startswith("[")]


@pytest.mark.parametrize("section", sections())
def test_no_key_takes_a_value_of_a_wrong_type(section: str) -> None:
    values: Mapping[str, Any] = tomllib.loads(GOOD)
    for part in section.split("."):
        values = values[part]
    dates = "\n".join(f"{key} = 2026-05-12" for key in values)
    text = f"{without_section(section)}\n[{section}]\n{dates}\n"
    found = [problem for problem in problems_of(text) if "2026-05-12" in problem.sentence]
    assert sorted(str(problem.field) for problem in found) == sorted(
        f"{section}.{key}" for key in values
    )

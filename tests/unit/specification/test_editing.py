"""A table of a specification is changed, and everything else stays as it was."""

from __future__ import annotations

from dataclasses import replace

import pytest

from qa.errors import SpecificationError
from qa.specification.editing import HEAD, mark_of, renamed, table_of, with_table
from qa.specification.loader import built_in, built_in_path, parse_specification
from qa.specification.model import Specification
from qa.specification.toml_text import TomlTable
from qa.trade.vocabulary import Stage

GENERAL = built_in_path("general-grp/1").read_bytes()
MOISTURE = "check.deck.moisture"
CHART = "chart.resin_dose"


def read(content: bytes) -> Specification:
    return parse_specification(content, file="changed")


def changed(path: str, **values: object) -> TomlTable:
    """A table of the general file with some values changed; None leaves one out."""
    table = dict(table_of(GENERAL, path)) | values
    return {key: value for key, value in table.items() if value is not None}


def faults(path: str, table: TomlTable) -> str:
    with pytest.raises(SpecificationError) as refused:
        with_table(GENERAL, path, table)
    return str(refused.value)


def test_changed_limit_leaves_all_else_as_it_was() -> None:
    after = read(with_table(GENERAL, MOISTURE, changed(MOISTURE, upper=12.0)))
    before = built_in("general-grp/1")
    assert after.checks["deck.moisture"].limits.upper == 12
    others = dict(after.checks) | {"deck.moisture": before.checks["deck.moisture"]}
    assert replace(after, checks=others, sha256="") == replace(before, sha256="")


def test_same_table_put_back_gives_the_same_bytes() -> None:
    once = with_table(GENERAL, MOISTURE, table_of(GENERAL, MOISTURE))
    assert with_table(once, CHART, table_of(once, CHART)) == once


def test_stage_that_becomes_a_hold_point_is_released() -> None:
    after = read(with_table(GENERAL, "stage.survey", changed("stage.survey", hold_point=True)))
    assert after.checks["stage.released"].stages[0] is Stage.SURVEY


def test_empty_table_takes_a_batten_away() -> None:
    after = read(with_table(GENERAL, "battens.raised_edge", {}))
    assert [kind.value for kind in after.battens] == ["drip_edge"]


def test_head_is_changed_without_its_name() -> None:
    after = read(with_table(GENERAL, HEAD, {"title": "Ours", "decision_rule": "guarded"}))
    assert (after.name, after.title, after.rule.value) == ("general-grp/1", "Ours", "guarded")


def test_renamed_file_says_the_same() -> None:
    after = read(renamed(GENERAL, "our-firm/3"))
    assert replace(after, name="general-grp/1", sha256="") == replace(
        built_in("general-grp/1"), sha256=""
    )


def test_mark_follows_the_table() -> None:
    assert mark_of(table_of(GENERAL, MOISTURE)) == mark_of(changed(MOISTURE))
    assert mark_of(table_of(GENERAL, MOISTURE)) != mark_of(changed(MOISTURE, upper=12.0))


def test_path_that_is_not_there_is_an_empty_table() -> None:
    for path in ("", "check.deck.nothing", "name", "name.more", "check.deck.moisture.upper"):
        assert not table_of(GENERAL, path)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"source": ""}, "source is empty"),
        ({"source": None}, "source is missing"),
        ({"basis": "hearsay"}, 'basis is "hearsay"'),
        ({"unit": None}, 'write unit = "%"'),
        ({"lower": 30.0}, "lower limit is 30.0; it must be 18 or less"),
        ({"upper": None}, "lower and upper are both missing"),
        ({"upper": float("nan")}, "no figure of a roof"),
        ({"upper": 1e308}, "no figure of a roof"),
        ({"below_pct": 5.0}, "nothing is expected in percent"),
    ],
)
def test_faulty_limit_is_refused_in_words(values: dict[str, object], words: str) -> None:
    assert words in faults(MOISTURE, changed(MOISTURE, **values))


@pytest.mark.parametrize(
    ("row", "values", "words"),
    [
        (1, {"from_c": 14.0}, "hole from 13 to 14"),
        (1, {"from_c": 12.0}, "overlap from 12 to 13"),
        (1, {"from_c": 4.0}, "from the coldest to the warmest"),
        (1, {"to_c": 10.0}, "end of the chart row from 13 to 10"),
        (0, {"target_ml_per_kg": 90.0}, "target dose of the chart row from 5 to 13"),
    ],
)
def test_faulty_chart_names_its_rows(row: int, values: dict[str, object], words: str) -> None:
    rows = [dict(one) for one in table_of(GENERAL, CHART)["rows"]]  # type: ignore[attr-defined]
    rows[row] |= values
    assert words in faults(CHART, changed(CHART, rows=rows))


def test_chart_without_a_row_is_refused() -> None:
    assert "number of rows" in faults(CHART, changed(CHART, rows=[]))

"""The small file of areas, and its broken twins."""

from __future__ import annotations

import json

import pytest

from qa.errors import RecordError
from qa.record.area_list import parse_area_list
from qa.trade.vocabulary import EdgeKind
from tests.examples import minimal

TOML = """
title = "Garage"

[[area]]
area = "main"
name = "Main roof"
outline_m = [[0, 0], [6, 0], [6, 4], [0, 4]]
mat_g_per_m2 = 450
edges = [{ edge = "eaves", kind = "drip_edge", length_m = 6 }]
"""
AREA = minimal("area")


def test_toml_and_json_say_the_same() -> None:
    from_toml = parse_area_list(TOML, file="areas.toml")
    body = {
        "area": "main",
        "name": "Main roof",
        "outline_m": [[0, 0], [6, 0], [6, 4], [0, 4]],
        "mat_g_per_m2": 450,
        "edges": [{"edge": "eaves", "kind": "drip_edge", "length_m": 6}],
    }
    from_json = parse_area_list(json.dumps({"title": "Garage", "area": [body]}), file="a.JSON")
    assert from_toml == from_json
    assert from_toml.area[0].edges[0].kind is EdgeKind.DRIP_EDGE


def test_area_is_the_body_of_a_record() -> None:
    (area,) = parse_area_list(json.dumps({"area": [AREA]}), file="areas.json").area
    assert area.roof.net_area_m2 == pytest.approx(24.0)


@pytest.mark.parametrize(
    ("text", "place", "sentence"),
    [
        ("", "areas.toml", "area is missing"),
        ("area = 3", "areas.toml", "area is 3; it must be a list"),
        ("area = []", "areas.toml", "of at least 1 area"),
        ("[[area]\n", "areas.toml, line 1", "the text is not TOML"),
        (TOML.replace("title", "titel"), "areas.toml", "did you mean title?"),
        (TOML.replace("name", "nmae"), "areas.toml, area 1", "did you mean name?"),
        (TOML.replace("450", "-450"), "areas.toml, area 1", "mat_g_per_m2 is −450"),
        (TOML.replace("[6, 4], [0, 4]", "[0, 4], [6, 4]"), "areas.toml, area 1", "meet at"),
        (TOML + TOML[TOML.index("[[") :], "areas.toml", "“main” is there twice"),
    ],
)
def test_broken_list_is_refused_in_words(text: str, place: str, sentence: str) -> None:
    with pytest.raises(RecordError) as caught:
        parse_area_list(text, file="areas.toml")
    assert any(one.place == place and sentence in one.sentence for one in caught.value.problems)


def test_broken_json_names_its_line() -> None:
    with pytest.raises(RecordError, match=r"areas.json, line 2: the text is not JSON"):
        parse_area_list('{"area":\n]', file="areas.json")

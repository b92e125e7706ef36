"""The take-off as text, JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest

from qa.packs.takeoff.listing import order_csv, order_json, order_text
from qa.packs.takeoff.rows import ITEM_WORDS, order_rows
from qa.specification.loader import built_in
from qa.specification.order_rates import order_rates
from qa.trade.edges import EdgeLength
from qa.trade.ordering import AreaToLay, Item
from qa.trade.takeoff import take_off
from qa.trade.vocabulary import EdgeKind
from tests.unit.trade.outlines import rectangle

GENERAL = built_in("general-grp/1")
PORCH = AreaToLay(
    name="Porch",
    roof=rectangle(4.0, 3.0),
    edges=(EdgeLength(kind=EdgeKind.DRIP_EDGE, length_m=4.0),),
    mat_g_per_m2=450.0,
)
ORDER = take_off([PORCH], order_rates(GENERAL), deck_c=12.0)


def cells(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text)))


def test_every_item_has_its_words() -> None:
    assert set(ITEM_WORDS) == set(Item)


def test_text_names_every_line_once() -> None:
    text = order_text("Porch", ORDER, GENERAL)
    for row in order_rows(ORDER, GENERAL):
        assert text.count(f"\n{row.what}  ") == 1
        assert row.order in text
    assert text.endswith(f"{GENERAL.note}\n")


def test_json_carries_quantities_and_sources() -> None:
    answer = json.loads(order_json("Porch", ORDER, GENERAL))
    resin = next(line for line in answer["lines"] if line["item"] == "resin")
    assert sum(part["quantity"] for part in resin["portions"]) == pytest.approx(resin["need"])
    ratio = next(one for one in resin["rests_on"] if one["name"] == "resin_to_glass")
    assert (ratio["value"], ratio["unit"], ratio["basis"]) == (2.5, "1", "published")
    assert answer["specification_sha256"] == GENERAL.sha256


def test_csv_has_one_row_for_each_line() -> None:
    head, *rows = cells(order_csv(ORDER, GENERAL))
    assert len(rows) == len(ORDER.lines)
    assert {len(row) for row in rows} == {len(head)}
    needs = [float(row[head.index("need")]) for row in rows]
    assert needs == pytest.approx([line.need for line in ORDER.lines], abs=0.001)


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx"])
def test_no_cell_is_a_formula(name: str) -> None:
    """A spreadsheet runs a cell that begins with one of these signs; an apostrophe stops it."""
    areas = [replace(PORCH, name=name), replace(PORCH, name="Porch")]
    order = take_off(areas, order_rates(GENERAL), deck_c=12.0)
    text = order_csv(order, GENERAL)
    assert name.strip() in text
    for row in cells(text):
        assert not any(cell[:1] in ("=", "+", "-", "@", "\t", "\r", "\n") for cell in row if cell)


def test_area_is_named_where_there_are_several() -> None:
    two = take_off([PORCH, replace(PORCH, name="Bay")], order_rates(GENERAL), deck_c=12.0)
    assert not any("Porch" in part for row in order_rows(ORDER, GENERAL) for part in row.reckoning)
    topcoat = next(r for r in order_rows(two, GENERAL) if r.what == "Topcoat")
    assert [part.partition(":")[0] for part in topcoat.reckoning] == ["Porch", "Bay"]
    assert topcoat.brief == "Porch 4.8 kg, Bay 4.8 kg"

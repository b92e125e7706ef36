from __future__ import annotations

from math import atan2, degrees, dist

import pytest

from qa.packs.drawing import BayMark, BayPlan, draw_bay_plan
from qa.packs.drawing.bay_marks import BAY_WORDS, SHORT_WORDS
from qa.trade.clipping import turned
from qa.trade.outline import RoofArea
from tests.unit.packs.drawing.reading_svg import SVG, strokes_of, title_of, tree_of, words_of
from tests.unit.packs.drawing.samples import (
    BAY_MARKS,
    L_SHAPE,
    TURNED,
    bay_area,
    outline,
    rectangle,
)


def plan(*areas, height_mm: float = 120.0) -> str:
    return draw_bay_plan(BayPlan(areas=areas, height_mm=height_mm))


def test_every_bay_with_room_bears_its_key() -> None:
    roof = bay_area("Roof", RoofArea(outline=rectangle(6.0, 4.8)), {})
    words = words_of(plan(roof))
    assert {marked.bay.key for marked in roof.bays} <= set(words)


def test_bays_too_small_for_keys_get_rows_and_numbers() -> None:
    words = words_of(plan(bay_area("Hall", RoofArea(outline=rectangle(40.0, 30.0)), {})))
    assert "r1" in words
    assert "b1" in words
    assert "r1b1" not in words


def test_every_state_is_told_in_words_with_its_bays() -> None:
    text = " ".join(words_of(plan(bay_area("Main roof", L_SHAPE, BAY_MARKS))))
    for key, mark in BAY_MARKS.items():
        assert f"1 {BAY_WORDS[mark]} {key}" in text


def test_bays_name_their_area_where_there_are_several() -> None:
    porch = bay_area("Porch", RoofArea(outline=rectangle(2.6, 1.4)), {"r1b2": BayMark.OPEN})
    main = bay_area("Main roof", L_SHAPE, {"r5b1": BayMark.OPEN})
    assert "Main roof r5b1; Porch r1b2" in words_of(plan(main, porch))


def test_open_bays_say_so_in_place() -> None:
    words = words_of(plan(bay_area("Main roof", L_SHAPE, {"r5b1": BayMark.OPEN})))
    assert SHORT_WORDS[BayMark.OPEN] in words


def test_each_state_has_a_picture_of_its_own() -> None:
    roof = RoofArea(outline=rectangle(2.0, 1.0))
    drawings = {
        plan(bay_area("Roof", roof, {"r1b1": mark})).split("</title>")[1] for mark in BayMark
    }
    assert len(drawings) == len(BayMark)


def test_states_do_not_hang_on_colour() -> None:
    drawing = plan(bay_area("Main roof", L_SHAPE, BAY_MARKS))
    colours = {path.get("stroke") for path in tree_of(drawing).iter(f"{SVG}path")}
    assert colours <= {None, "#16191d", "#5a6066", "#b9bec3"}


def test_title_counts_bays_by_state() -> None:
    title = title_of(plan(bay_area("Main roof", L_SHAPE, BAY_MARKS)))
    assert title.startswith("Bay plan, 1:")
    assert "1 repaired, clear after" in title


def test_slivers_and_points_of_roof_are_drawn() -> None:
    wedge = RoofArea(outline=outline((0, 0), (3, 0), (0, 2.5)))
    sliver = RoofArea(outline=rectangle(8.0, 0.05))
    every_bay_open = {f"r{row}b{number}": BayMark.OPEN for row in (1, 2, 3) for number in range(9)}
    for roof in (wedge, sliver):
        assert "Roof" in words_of(plan(bay_area("Roof", roof, every_bay_open)))


def test_no_area_gives_a_sentence() -> None:
    assert words_of(plan()) == ["No area of the roof is recorded, so there are no bays."]


def test_turned_bays_are_drawn_from_their_corners() -> None:
    """The strips of the sample run at 30 degrees; a bay's long side is drawn to scale at that."""
    area = bay_area("Main roof", TURNED, {})
    drawing = plan(area)
    slopes = {
        round(degrees(atan2(start[1] - end[1], end[0] - start[0])) % 90.0)
        for start, end in strokes_of(drawing)
        if dist(start, end) > 5.0
    }
    assert 30 in slopes
    assert {marked.bay.key for marked in area.bays if marked.bay.area_m2 > 0.8} <= set(
        words_of(drawing)
    )


@pytest.mark.parametrize("turn_deg", [17.0, 45.0, 90.0, -60.0])
def test_turned_bays_too_small_for_keys_get_numbers_on_the_sheet(turn_deg: float) -> None:
    corners = turned(((0, 0), (40, 0), (40, 30), (0, 30)), angle_deg=turn_deg, about_m=(0, 0))
    drawing = plan(bay_area("Hall", RoofArea(outline=outline(*corners)), {}))
    assert {"r1", "b1"} <= set(words_of(drawing))
    _, _, width, height = map(float, (tree_of(drawing).get("viewBox") or "").split())
    for text in tree_of(drawing).iter(f"{SVG}text"):
        assert 0.0 <= float(text.get("x", "")) <= width
        assert 0.0 <= float(text.get("y", "")) <= height


def test_roof_turned_by_a_quarter_bears_the_same_keys() -> None:
    level = bay_area("Roof", RoofArea(outline=rectangle(6.0, 4.8)), {})
    quarter = bay_area("Roof", RoofArea(outline=rectangle(4.8, 6.0)), {})
    assert {word for word in words_of(plan(level)) if word.startswith("r")} == {
        word for word in words_of(plan(quarter)) if word.startswith("r")
    }

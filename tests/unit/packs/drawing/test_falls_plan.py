"""The falls plan: heights, water and its depth, the way down, and what has no room."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from qa.packs.drawing import FallsPlan, FallsPlanArea, PlanArea, draw_falls_plan
from qa.packs.drawing.falls_area import MOST_CROSSES
from qa.trade.outline import RoofArea
from qa.trade.survey import Level
from qa.trade.vocabulary import EdgeKind
from tests.unit.packs.drawing.reading_svg import SVG, strokes_of, title_of, tree_of, words_of
from tests.unit.packs.drawing.samples import DISHED, MAIN, PORCH, edge, falls_area, rectangle

DISH = falls_area(MAIN, DISHED)
EVEN: tuple[Level, ...] = ((0, 0, 0), (2.6, 0, 0), (2.6, 1.4, 0.035), (0, 1.4, 0.035))
EAVES = (edge("front", EdgeKind.DRIP_EDGE, 2.6), *PORCH.edges[:2])
DRAINED = falls_area(replace(PORCH, edges=EAVES, outlets_m=((1.0, 0.0),)), EVEN)


def plan(*areas: FallsPlanArea, height_mm: float = 105.0) -> str:
    return draw_falls_plan(FallsPlan(areas=areas, height_mm=height_mm))


def test_contours_bear_their_heights() -> None:
    words = words_of(plan(DISH))
    assert {"0", "10", "20", "30", "40", "60", "70"} <= set(words)
    assert "contour, every 10 mm; heights in mm above the survey’s datum" in words


def test_water_bears_its_depth_and_is_explained() -> None:
    words = words_of(plan(DISH))
    assert "12 mm" in words
    assert "water that cannot drain, with its greatest depth" in words


def test_drained_roof_shows_no_water() -> None:
    words = words_of(plan(DRAINED))
    assert not any("cannot drain" in word for word in words)
    assert title_of(plan(DRAINED)).endswith("Porch, fall 1:40, 0 hollows that cannot drain.")


def test_title_tells_fall_and_depth() -> None:
    title = title_of(plan(DISH, DRAINED))
    assert "Main roof, fall 1:59, 1 hollow" in title
    assert "1 hollow that cannot drain, at most 12 mm deep; Porch" in title


def test_contour_lies_to_scale_where_the_plane_has_its_height() -> None:
    """1:40 along y: the contour of 10 mm lies 0.4 m from the front, that of 30 mm 1.2 m."""
    drawing = plan(DRAINED)
    scale = int(next(word for word in words_of(drawing) if re.fullmatch(r"1:\d+", word))[2:])
    across = [
        start[1]
        for start, end in strokes_of(drawing)
        if start[1] == end[1] and abs(start[0] - end[0]) > 1000.0 / scale
    ]
    front, back = max(across), min(across)
    assert front - back >= 1400.0 / scale - 0.01
    for metres in (0.4, 1.2):
        level = back + (1.4 - metres) * 1000.0 / scale
        assert any(y == pytest.approx(level, abs=1.0) for y in across)


def test_level_roof_has_no_arrow() -> None:
    words = words_of(plan(replace(DRAINED, fall=None)))
    assert not any(word.startswith("fall") for word in words)
    assert "Porch, level, 0 hollows" in title_of(plan(replace(DRAINED, fall=None)))


def test_more_levels_than_can_be_told_apart_are_not_marked() -> None:
    many = tuple((0.005 * n, 0.5) for n in range(MOST_CROSSES + 1))
    assert "surveyed level" in words_of(plan(replace(DRAINED, surveyed_m=many[1:])))
    assert "surveyed level" not in words_of(plan(replace(DRAINED, surveyed_m=many)))


def test_hollow_without_room_for_its_depth_is_said_below() -> None:
    hollows = DISH.hollows * 60
    text = " ".join(words_of(plan(replace(DISH, hollows=hollows), height_mm=60.0)))
    assert re.search(r"Main roof: \d\d hollows not named on the plan, at most 12 mm deep\.", text)


def test_words_stay_on_the_sheet() -> None:
    for drawing in (plan(DISH), plan(DISH, DRAINED), plan(DISH, height_mm=30.0)):
        _, _, width, height = map(float, (tree_of(drawing).get("viewBox") or "").split())
        for text in tree_of(drawing).iter(f"{SVG}text"):
            assert -0.1 <= float(text.get("x", "")) <= width
            assert 0.0 <= float(text.get("y", "")) <= height


def test_opening_is_left_free_of_water() -> None:
    """The rooflight of the sample is a hole in its surface; no hatch crosses it."""
    tray = PlanArea(
        name="Tray",
        roof=RoofArea(outline=rectangle(6.0, 4.0), openings=(rectangle(2.0, 2.0, 2.0, 1.0),)),
        outlets_m=((0.0, 0.0),),
    )
    rim: tuple[Level, ...] = ((0, 0, 0.05), (6, 0, 0.05), (6, 4, 0.05), (0, 4, 0.06))
    kerb: tuple[Level, ...] = ((2, 1, 0), (4, 1, 0), (4, 3, 0), (2, 3, 0))
    pools = falls_area(tray, (*rim, *kerb)).pools_m
    assert pools
    inside = [p for piece in pools for p in piece if 2 < p[0] < 4 and 1 < p[1] < 3]
    assert inside == []


def test_no_area_gives_a_sentence() -> None:
    assert words_of(plan()) == ["No level is recorded, so there are no contours."]

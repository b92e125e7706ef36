from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.packs.drawing import Fall, PlanArea, RoofPlan, draw_roof_plan
from qa.trade.outline import RoofArea
from qa.trade.vocabulary import EdgeKind
from tests.unit.packs.drawing.reading_svg import SVG, lengths_of, title_of, tree_of, words_of
from tests.unit.packs.drawing.samples import MAIN, PORCH, edge, outline, rectangle


def plan(*areas: PlanArea, height_mm: float = 120.0) -> str:
    return draw_roof_plan(RoofPlan(areas=areas, height_mm=height_mm))


def area(roof: RoofArea, name: str = "Roof") -> PlanArea:
    return PlanArea(name=name, roof=roof)


def scale_of(drawing: str) -> int:
    return int(next(word for word in words_of(drawing) if re.fullmatch(r"1:\d+", word))[2:])


def size_of(drawing: str) -> tuple[float, float]:
    _, _, width, height = map(float, (tree_of(drawing).get("viewBox") or "").split())
    return width, height


@pytest.mark.parametrize("height_mm", [120.0, 70.0, 45.0])
def test_six_metre_edge_measures_six_metres_to_scale(height_mm: float) -> None:
    drawing = plan(MAIN, height_mm=height_mm)
    expected_mm = 6000.0 / scale_of(drawing)
    assert any(length == pytest.approx(expected_mm, abs=0.002) for length in lengths_of(drawing))


@given(length=st.floats(0.5, 400.0), height=st.floats(0.5, 400.0))
def test_every_side_is_drawn_to_the_stated_scale(length: float, height: float) -> None:
    drawing = plan(area(RoofArea(outline=rectangle(length, height))))
    lengths = lengths_of(drawing)
    for side_m in (length, height):
        expected_mm = side_m * 1000.0 / scale_of(drawing)
        assert any(drawn == pytest.approx(expected_mm, abs=0.003) for drawn in lengths)


@pytest.mark.parametrize(
    ("length", "height", "scale"), [(6.0, 5.2, 50), (12.0, 5.0, 100), (40.0, 3.0, 300)]
)
def test_scale_is_the_largest_usual_one_that_fits(length: float, height: float, scale: int) -> None:
    drawing = plan(area(RoofArea(outline=rectangle(length, height))), height_mm=140.0)
    assert scale_of(drawing) == scale


def test_all_areas_share_one_scale_and_one_bar() -> None:
    words = words_of(plan(MAIN, PORCH))
    assert sum(bool(re.fullmatch(r"1:\d+", word)) for word in words) == 1
    assert {"Main roof", "23.3 m²", "Porch", "3.64 m²"} <= set(words)


def test_edges_openings_outlets_and_fall_are_named() -> None:
    words = words_of(plan(MAIN))
    for word in (
        "drip edge 6.00",
        "raised edge 5.20",
        "wall fillet 3.60",
        "flashing 2.40",
        "rooflight",
        "1.00 × 1.20",
        "outlet",
        "fall 1:60",
    ):
        assert word in words


def test_edges_without_a_known_side_are_named_below() -> None:
    text = " ".join(words_of(plan(PORCH)))
    assert "edges whose side the record does not tell: c (wall fillet, 2.60 m)" in text


def test_placing_by_order_is_said() -> None:
    assert any("in the order in which" in word for word in words_of(plan(MAIN)))
    assert not any("in the order in which" in word for word in words_of(plan(PORCH)))


def test_sides_too_short_for_a_dimension_are_listed() -> None:
    roof = RoofArea(outline=outline((0, 0), (20, 0), (20, 9.8), (19.8, 9.8), (19.8, 10), (0, 10)))
    text = " ".join(words_of(plan(area(roof))))
    assert "too short for a dimension at this scale, in order: 0.20, 0.20 m" in text


def test_plans_never_leave_their_sheet() -> None:
    for roof in (
        RoofArea(outline=rectangle(1.2, 0.8)),
        RoofArea(outline=rectangle(40.0, 3.0)),
        RoofArea(outline=rectangle(3.0, 40.0)),
        RoofArea(outline=rectangle(5e4, 3e4, x=1e7, y=-1e7)),
        RoofArea(outline=outline((0, 0), (3, 0), (0, 2.5))),
    ):
        drawing = plan(area(roof))
        width, height = size_of(drawing)
        assert (width, height > 0.0) == (168.0, True)
        for text in tree_of(drawing).iter(f"{SVG}text"):
            if text.get("transform"):
                continue
            assert -0.1 <= float(text.get("x", "")) <= width
            assert 0.0 <= float(text.get("y", "")) <= height


@pytest.mark.parametrize("direction_deg", [0.0, 45.0, 137.0, 270.0, 350.0])
def test_fall_is_shown_or_said_in_any_direction(direction_deg: float) -> None:
    for roof in (
        MAIN.roof,
        RoofArea(outline=rectangle(1.0, 1.0)),
        RoofArea(outline=rectangle(40, 2)),
    ):
        sloping = PlanArea(name="Roof", roof=roof, fall=Fall(direction_deg=direction_deg))
        assert any("fall" in word for word in words_of(plan(sloping)))


def test_very_many_areas_still_end_in_a_plan() -> None:
    areas = [area(RoofArea(outline=rectangle(4.0, 3.0)), f"Area {n}") for n in range(40)]
    drawing = plan(*areas)
    assert {f"Area {n}" for n in range(40)} <= set(words_of(drawing))
    assert scale_of(drawing) <= 500


def test_no_area_gives_a_sentence() -> None:
    assert words_of(plan()) == ["No area of the roof is recorded, so there is no plan."]


def test_title_says_scale_names_and_areas() -> None:
    assert title_of(plan(PORCH)) == "Roof plan to scale, 1:20: Porch, 3.6 m²."


def test_hostile_names_are_shown_as_they_are() -> None:
    name = "</svg><b>&\x07"
    hostile = PlanArea(
        name=name,
        roof=RoofArea(outline=rectangle(6.0, 4.0), openings=(rectangle(1, 1, 2, 2),)),
        edges=(edge("<i>", EdgeKind.FLASHING, 9.0),),
        opening_names=("<script>",),
    )
    drawing = plan(hostile)
    assert "<script>" in words_of(drawing)
    assert "<b>" not in drawing

"""The bay map: to scale, large enough for a thumb, told without colour."""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.etree import ElementTree as ET

import pytest

from qa.packs.drawing.bay_map import (
    LEAST_TOUCH_PX,
    BayMap,
    MapBay,
    Pattern,
    draw_bay_map,
    draw_swatch,
)
from qa.trade.bays import lay_out_bays
from qa.trade.outline import Outline, RoofArea
from qa.trade.strips import strip_angle_deg

SVG = "{http://www.w3.org/2000/svg}"


def _map(points: Sequence[tuple[float, float]], *, name: str = "Main roof") -> BayMap:
    roof = RoofArea(outline=Outline(points_m=tuple(points)))
    bays = lay_out_bays(
        roof,
        mat_width_m=1.0,
        mat_overlap_m=0.05,
        bay_length_m=1.0,
        angle_deg=strip_angle_deg(roof.outline),
    )
    patterns = list(Pattern)
    shown = tuple(
        MapBay(
            bay=bay,
            letter="T" if index % 2 else "",
            words="transparent",
            pattern=patterns[index % len(patterns)],
            address=f"/bays/{bay.key}",
        )
        for index, bay in enumerate(bays)
    )
    return BayMap(name=name, roof=roof, bays=shown)


def _extent(link: ET.Element) -> tuple[float, float]:
    cell = link.find(f"{SVG}path")
    assert cell is not None
    figures = [float(n) for n in re.findall(r"-?[\d.]+", cell.get("d", ""))]
    xs, ys = figures[0::2], figures[1::2]
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("size", [(2.0, 1.5), (6.0, 4.0), (25.0, 12.0)])
def test_every_link_takes_a_thumb(size: tuple[float, float]) -> None:
    length, depth = size
    root = ET.fromstring(draw_bay_map(_map([(0, 0), (length, 0), (length, depth), (0, depth)])))
    links = root.findall(f"{SVG}a")
    assert links
    assert all(min(_extent(link)) >= LEAST_TOUCH_PX for link in links)


def test_bay_too_narrow_for_a_thumb_is_drawn_without_a_link() -> None:
    """4 m across: strips of 1 m less 0.05 m overlap leave a last one of 0.15 m."""
    plan = _map([(0, 0), (6, 0), (6, 4), (0, 4)])
    root = ET.fromstring(draw_bay_map(plan))
    named = {element.get("aria-label") for element in root.iter(f"{SVG}g")}
    assert "r5b1, transparent" in named
    assert len(root.findall(f"{SVG}a")) + len(root.findall(f"{SVG}g")) == len(plan.bays)


def test_map_keeps_the_proportions_of_the_roof() -> None:
    root = ET.fromstring(draw_bay_map(_map([(0, 0), (8, 0), (8, 4), (0, 4)])))
    width, height = (float(root.get(name, "0")) - 8.0 for name in ("width", "height"))
    assert width / height == pytest.approx(2.0, rel=1e-4)


def test_roof_laid_askew_is_drawn_askew() -> None:
    root = ET.fromstring(draw_bay_map(_map([(0, 0), (4, 3), (1, 7), (-3, 4)])))
    assert root.findall(f"{SVG}a")


def test_names_from_the_record_are_escaped() -> None:
    text = draw_bay_map(_map([(0, 0), (3, 0), (3, 2), (0, 2)], name='<script>"&'))
    assert "<script>" not in text
    ET.fromstring(text)


def test_map_has_no_colour_and_no_style_of_its_own() -> None:
    text = draw_bay_map(_map([(0, 0), (6, 0), (6, 4), (0, 4)]))
    assert "style=" not in text
    assert "#" not in text


def test_area_without_bays_has_no_map() -> None:
    plan = _map([(0, 0), (3, 0), (3, 2), (0, 2)])
    assert draw_bay_map(BayMap(name=plan.name, roof=plan.roof, bays=())) == ""


def test_patterns_of_the_key_differ() -> None:
    swatches = {draw_swatch(pattern, "") for pattern in Pattern}
    assert len(swatches) == len(Pattern)

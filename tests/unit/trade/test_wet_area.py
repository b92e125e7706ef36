"""The shape of standing water against the area that the hollows report, and against shapely."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import unary_union
from shapely.geometry import Polygon

from qa.trade.drainage import Drains
from qa.trade.outline import Outline, RoofArea
from qa.trade.ponding import flood
from qa.trade.surface import Surface, surface_over
from qa.trade.wet_area import wet_pieces

DECK = RoofArea(
    outline=Outline(points_m=((0, 0), (8, 0), (8, 4), (0, 4))),
    openings=(Outline(points_m=((3, 1), (4, 1), (4, 2), (3, 2))),),
)
OUTLET = Drains(outlets_m=((0.0, 0.0),))


def rough(seed: int) -> Surface:
    chance = random.Random(seed)
    corners = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (0.0, 4.0)]
    inner = [(chance.uniform(0, 8), chance.uniform(0, 4)) for _ in range(30)]
    return surface_over([(x, y, chance.uniform(0, 0.1)) for x, y in corners + inner], DECK)


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 10_000))
def test_pieces_are_the_hollows_area_and_do_not_overlap(seed: int) -> None:
    surface = rough(seed)
    water = flood(surface, OUTLET)
    pieces = [Polygon(piece) for piece in wet_pieces(surface, water.water_m)]
    assert all(piece.is_valid for piece in pieces)
    assert sum(piece.area for piece in pieces) == pytest.approx(water.area_m2, abs=1e-5)
    together = unary_union(pieces, grid_size=1e-7)  # without a grid it loses pieces to rounding
    assert together.area == pytest.approx(water.area_m2, abs=1e-5)


def test_dry_roof_has_no_piece() -> None:
    surface = surface_over([(0, 0, 0), (8, 0, 0.1), (8, 4, 0.1), (0, 4, 0)], DECK)
    assert wet_pieces(surface, flood(surface, Drains(edges_m=(((0, 4), (0, 0)),))).water_m) == ()


def test_flooded_tray_is_wet_all_over() -> None:
    tray = RoofArea(outline=DECK.outline)
    levels = [(0, 0, 0.1), (8, 0, 0.1), (8, 4, 0.1), (0, 4, 0.1), (4, 2, 0.0)]
    surface = surface_over(levels, tray)
    water = flood(surface, OUTLET)
    assert sum(Polygon(piece).area for piece in wet_pieces(surface, water.water_m)) == 32.0

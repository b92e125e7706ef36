"""Standing water against solids whose volume is known, a naive flood and a fine summation."""

from __future__ import annotations

import random
from math import cos, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.drainage import Drains
from qa.trade.outline import Outline, RoofArea
from qa.trade.ponding import Flood, flood
from qa.trade.surface import Surface, surface_over
from tests.bench.ponding import swept_water_m

Level = tuple[float, float, float]

DECK = RoofArea(outline=Outline(points_m=((0, 0), (8, 0), (8, 4), (0, 4))))
CORNERS = ((0, 0), (8, 0), (8, 4), (0, 4))
LOW_EAVES = Drains(edges_m=(((0, 0), (0, 4)),))
ALL_ROUND = Drains(edges_m=tuple((CORNERS[n], CORNERS[(n + 1) % 4]) for n in range(4)))


def box(low_x: float, low_y: float, width: float, height: float) -> Outline:
    high_x, high_y = low_x + width, low_y + height
    return Outline(points_m=((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)))


def deck(inner: list[Level], fall: float = 0.0) -> Surface:
    """The deck's four corners on a plane, and levels within."""
    return surface_over([*((x, y, fall * x) for x, y in CORNERS), *inner], DECK)


def rough(seed: int, roof: RoofArea = DECK, count: int = 40) -> Surface:
    chance = random.Random(seed)
    inner = [(chance.uniform(0, 8), chance.uniform(0, 4)) for _ in range(count)]
    levels = [(x, y, 0.01 * x + chance.uniform(0, 0.05)) for x, y in [*CORNERS, *inner]]
    return surface_over(levels, roof)


def summed(surface: Surface, flooded: Flood, pieces: int = 24) -> tuple[float, float]:
    """Area, m², and volume, l, of the water by summing over small pieces of every triangle."""
    shares = [(i, j) for i in range(pieces) for j in range(pieces - i)]
    corners = [((i + 1 / 3) / pieces, (j + 1 / 3) / pieces) for i, j in shares]
    corners += [
        ((i + 2 / 3) / pieces, (j + 2 / 3) / pieces) for i, j in shares if i + j < pieces - 1
    ]
    u, v = np.array(corners).T
    area_m2 = volume_l = 0.0
    for triangle, plan_m2 in zip(surface.triangles, surface.plan_areas_m2(), strict=True):
        a, b, c = (surface.levels_m[corner][2] for corner in triangle)
        wet = [flooded.water_m[n] for n in triangle if flooded.water_m[n] > surface.levels_m[n][2]]
        if wet:
            depth = np.maximum(0.0, wet[0] - (a + u * (b - a) + v * (c - a)))
            area_m2 += plan_m2 * float(np.mean(depth > 0.0))
            volume_l += plan_m2 * float(np.mean(depth)) * 1000.0
    return area_m2, volume_l


@pytest.mark.parametrize("drains", [LOW_EAVES, Drains(outlets_m=((0, 2),)), ALL_ROUND])
def test_tilted_plane_keeps_no_water(drains: Drains) -> None:
    surface = deck([(3.0, 1.0, 0.0375), (5.5, 3.0, 0.068_75)], fall=0.0125)
    flooded = flood(surface, drains)
    assert flooded.hollows == ()
    assert flooded.volume_l == flooded.area_m2 == 0.0


def test_tilted_plane_that_drains_at_the_top_holds_a_wedge() -> None:
    """Half of 8 x 4 x 0.1 m."""
    (hollow,) = flood(deck([], fall=0.0125), Drains(outlets_m=((8, 2),))).hollows
    assert hollow.deepest_mm == pytest.approx(100.0)
    assert hollow.area_m2 == pytest.approx(32.0)
    assert hollow.volume_l == pytest.approx(1600.0)
    assert hollow.spill_m == (8, 2)


def test_dent_in_a_flat_roof_is_a_pyramid() -> None:
    """A third of base times height: square base with a diagonal of 2 m, 30 mm deep, 20 l."""
    rim = [(3, 2, 0.0), (5, 2, 0.0), (4, 1, 0.0), (4, 3, 0.0)]
    (hollow,) = flood(deck([*rim, (4, 2, -0.03)]), ALL_ROUND).hollows
    assert hollow.deepest_mm == pytest.approx(30.0)
    assert hollow.area_m2 == pytest.approx(2.0)
    assert hollow.volume_l == pytest.approx(20.0)
    assert hollow.lowest_m == (4, 2)


def test_cone_holds_a_third_of_its_cylinder() -> None:
    """Cone of radius 1.5 m and 60 mm on 180 levels: pi r^2 h / 3 = 141.37 l."""
    ring = [(4 + 1.5 * cos(n * pi / 90), 2 + 1.5 * sin(n * pi / 90), 0.0) for n in range(180)]
    (hollow,) = flood(deck([*ring, (4, 2, -0.06)]), ALL_ROUND).hollows
    assert hollow.volume_l == pytest.approx(1000.0 * pi * 1.5**2 * 0.06 / 3.0, rel=3e-4)
    assert hollow.area_m2 == pytest.approx(pi * 1.5**2, rel=3e-4)


def test_tilted_cone_spills_over_its_lowest_rim() -> None:
    """A dent on a fall: the water stands at the level of the rim's lowest corner."""
    rim = [(3, 2), (5, 2), (4, 1), (4, 3)]
    surface = deck([*((x, y, 0.01 * x) for x, y in rim), (4, 2, 0.0)], fall=0.01)
    (hollow,) = flood(surface, LOW_EAVES).hollows
    assert hollow.spill_m == (3, 2)
    assert hollow.deepest_mm == pytest.approx(30.0)
    # Each half is a pyramid: on the low side the whole base, on the high side cut at 0.03.
    assert hollow.area_m2 < 2.0
    assert (hollow.area_m2, hollow.volume_l) == pytest.approx(
        summed(surface, flood(surface, LOW_EAVES), pieces=200), rel=1e-2
    )


def test_needle_that_rounding_made_is_no_hollow() -> None:
    """Three corners within a tenth of a micrometre of one line."""
    levels = ((0.0, 0.0, 0.1), (1.0, 0.0, 0.1), (0.5, 1e-7, 0.0))
    needle = Surface(roof=DECK, levels_m=levels, triangles=((0, 1, 2),), surveyed=3)
    flooded = flood(needle, Drains(outlets_m=((-1.0, 0.0),)))
    assert flooded.water_m == (0.1, 0.1, 0.1)
    assert flooded.hollows == ()


def v_gutter(gutter_m: dict[float, float]) -> Surface:
    """Two planes of 1:40 that meet in a gutter along y = 2, whose height is given along x."""
    levels = [(x, 2.0, z) for x, z in gutter_m.items()]
    levels += [(x, y, z + 0.05) for x, z in gutter_m.items() for y in (0.0, 4.0)]
    return surface_over(levels, DECK)


def test_gutter_that_falls_to_its_outlet_keeps_no_water() -> None:
    surface = v_gutter({0.0: 0.0, 4.0: 0.05, 8.0: 0.1})
    assert flood(surface, Drains(outlets_m=((0, 2),))).hollows == ()


def test_gutter_before_a_dam_fills_a_prism() -> None:
    """Level V-gutter, dammed 10 mm high at x = 0: half of 0.8 x 0.01 m² over 8 m, less the dam."""
    surface = v_gutter({0.0: 0.01, 0.001: 0.0, 8.0: 0.0})
    (hollow,) = flood(surface, Drains(outlets_m=((0, 2),))).hollows
    assert hollow.deepest_mm == pytest.approx(10.0)
    assert hollow.area_m2 == pytest.approx(8.0 * 0.8, rel=1e-3)
    assert hollow.volume_l == pytest.approx(1000.0 * 8.0 * 0.8 * 0.01 / 2.0, rel=1e-3)
    assert hollow.spill_m == (0, 2)


def test_two_dents_below_one_sill_are_one_hollow() -> None:
    """A sill of 10 mm between dents of 30 and 20 mm in a flat roof: all one water to the rim."""
    ring = [(1, 2), (7, 2), (4, 1), (4, 3), (2, 1), (2, 3), (6, 1), (6, 3)]
    rim = [(float(x), float(y), 0.0) for x, y in ring]
    dents = [(2.0, 2.0, -0.03), (4.0, 2.0, -0.01), (6.0, 2.0, -0.02)]
    (joined,) = flood(deck([*rim, *dents]), ALL_ROUND).hollows
    assert joined.lowest_m == (2, 2)
    dents[1] = (4.0, 2.0, 0.0)
    apart = flood(deck([*rim, *dents]), ALL_ROUND).hollows
    assert [hollow.deepest_mm for hollow in apart] == pytest.approx([30.0, 20.0])


def test_outlet_in_a_hollow_empties_it_to_its_own_height() -> None:
    dent = [(3, 2, 0.0), (5, 2, 0.0), (4, 1, 0.0), (4, 3, 0.0), (4, 2, -0.03)]
    at_the_bottom = Drains(outlets_m=((4, 2),), edges_m=ALL_ROUND.edges_m)
    assert flood(deck(dent), at_the_bottom).hollows == ()
    (left,) = flood(deck(dent), Drains(outlets_m=((3.5, 2.0),), edges_m=ALL_ROUND.edges_m)).hollows
    assert left.deepest_mm == pytest.approx(15.0)
    assert left.volume_l == pytest.approx(20.0 / 8.0)
    assert left.spill_m == (3.5, 2.0)


def test_raised_edge_holds_what_a_drip_edge_lets_go() -> None:
    surface = deck([(4, 2, 0.05)], fall=0.0)
    assert flood(surface, ALL_ROUND).hollows == ()
    raised = v_gutter({0.0: 0.0, 8.0: 0.0})
    assert flood(raised, Drains(edges_m=(((0, 0), (0, 4)),))).hollows == ()
    (kept,) = flood(raised, Drains(edges_m=(((0, 0), (8, 0)),))).hollows
    assert kept.deepest_mm == pytest.approx(50.0)
    assert kept.volume_l == pytest.approx(1000.0 * 8.0 * 4.0 * 0.05 / 2.0)


def test_part_of_an_edge_may_drain() -> None:
    """The gable's V rises 25 mm/m from its middle: 1.5 m beside it the water stands 37.5 mm."""
    surface = v_gutter({0.0: 0.0, 8.0: 0.0})
    assert flood(surface, Drains(edges_m=(((0, 1.5), (0, 2.5)),))).hollows == ()
    (kept,) = flood(surface, Drains(edges_m=(((0, 3.5), (0, 4)),))).hollows
    assert kept.deepest_mm == pytest.approx(37.5)


def test_levels_that_end_short_of_a_drip_edge_still_drain_over_it() -> None:
    levels = [(x, y, 0.0125 * x) for x in (0.3, 4.0, 7.6) for y in (0.2, 3.8)]
    surface = surface_over(levels, DECK)
    assert flood(surface, LOW_EAVES).hollows == ()
    (kept,) = flood(surface, Drains(edges_m=(((8, 0), (8, 4)),))).hollows
    assert kept.deepest_mm == pytest.approx(0.0125 * 7300)


def test_outlet_beside_the_levels_takes_the_nearest() -> None:
    levels = [(x, y, 0.0125 * x) for x in (0.3, 7.6) for y in (0.2, 2.0, 3.8)]
    assert flood(surface_over(levels, DECK), Drains(outlets_m=((0.0, 2.0),))).hollows == ()


def test_kerb_of_an_opening_dams_the_gutter() -> None:
    """A rooflight across the whole gutter: water stands above it until it runs round."""
    roof = RoofArea(outline=DECK.outline, openings=(box(3.5, 1.0, 1.0, 2.0),))
    levels = [(x, y, 0.0125 * x + 0.025 * abs(y - 2.0)) for x in range(9) for y in range(5)]
    (kept,) = flood(surface_over(levels, roof), Drains(outlets_m=((0, 2),))).hollows
    assert kept.deepest_mm == pytest.approx(25.0, abs=0.01)
    assert kept.lowest_m[0] == pytest.approx(4.5)
    assert kept.spill_m[0] == pytest.approx(4.5, abs=1.0)
    assert flood(surface_over(levels, DECK), Drains(outlets_m=((0, 2),))).hollows == ()


def test_part_that_cannot_drain_is_refused_by_its_place() -> None:
    """Levels on the two arms of a U whose base nobody surveyed."""
    arms = Outline(points_m=((0, 0), (8, 0), (8, 4), (6, 4), (6, 1), (2, 1), (2, 4), (0, 4)))
    levels = [(x, y, 0.0) for x in (0, 2, 6, 8) for y in (2, 4)]
    surface = surface_over(levels, RoofArea(outline=arms))
    with pytest.raises(DomainError, match=r"way out of the water at \(6.000, 2.000\) m is missing"):
        flood(surface, LOW_EAVES)


@settings(deadline=None, max_examples=60)
@given(seed=st.integers(0, 100_000))
def test_flooded_surface_is_never_below_the_ground(seed: int) -> None:
    roof = RoofArea(outline=DECK.outline, openings=(box(2.2, 1.1, 0.9, 1.3),))
    surface = rough(seed, roof)
    flooded = flood(surface, LOW_EAVES)
    for water, level in zip(flooded.water_m, surface.levels_m, strict=True):
        assert water >= level[2]


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 100_000))
def test_flood_agrees_with_a_naive_one(seed: int) -> None:
    """Sweeps over all edges until nothing falls."""
    surface = rough(seed)
    drained = {n for n, level in enumerate(surface.levels_m) if level[0] == 0.0}
    assert list(flood(surface, LOW_EAVES).water_m) == swept_water_m(surface, drained)


@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 100_000))
def test_water_in_hollows_is_all_the_water(seed: int) -> None:
    """Conservation: the hollows' volumes against a fine sum over the whole surface (numpy)."""
    surface = rough(seed)
    flooded = flood(surface, LOW_EAVES)
    area_m2, volume_l = summed(surface, flooded)
    assert flooded.volume_l == pytest.approx(volume_l, rel=5e-3, abs=0.02)
    assert flooded.area_m2 == pytest.approx(area_m2, rel=3e-2, abs=0.05)
    assert flooded.volume_l <= flooded.area_m2 * max(
        (hollow.deepest_mm for hollow in flooded.hollows), default=0.0
    )


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 100_000), x=st.floats(0.0, 8.0), y=st.floats(0.0, 4.0))
def test_another_outlet_never_raises_water(seed: int, x: float, y: float) -> None:
    surface = rough(seed)
    before = flood(surface, LOW_EAVES)
    after = flood(surface, Drains(outlets_m=((x, y),), edges_m=LOW_EAVES.edges_m))
    assert all(b <= a for a, b in zip(before.water_m, after.water_m, strict=True))
    assert after.volume_l <= before.volume_l + 1e-9


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 100_000), lift_m=st.integers(-100, 900))
def test_depths_do_not_depend_on_the_datum(seed: int, lift_m: int) -> None:
    surface = rough(seed)
    lifted = Surface(
        roof=surface.roof,
        levels_m=tuple((x, y, z + lift_m) for x, y, z in surface.levels_m),
        triangles=surface.triangles,
        surveyed=surface.surveyed,
    )
    before, after = flood(surface, LOW_EAVES), flood(lifted, LOW_EAVES)
    assert after.volume_l == pytest.approx(before.volume_l, abs=1e-6)
    assert len(after.hollows) == len(before.hollows)

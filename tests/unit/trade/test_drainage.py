"""Local falls, shares and back-falls on roofs whose answer plane geometry gives."""

from __future__ import annotations

import random
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.drainage import (
    Drains,
    LocalFall,
    back_fall_m2,
    local_falls,
    nearest_on_edge,
    share_below,
)
from qa.trade.outline import Outline, RoofArea
from qa.trade.surface import Surface, surface_over

Level = tuple[float, float, float]

DECK = RoofArea(outline=Outline(points_m=((0, 0), (8, 0), (8, 4), (0, 4))))
EAVES = Drains(edges_m=(((0, 0), (0, 4)),))


def sloped(heights_at_x: dict[float, float]) -> Surface:
    """A surface that is the same all along y."""
    levels = [(x, y, z) for x, z in heights_at_x.items() for y in (0.0, 4.0)]
    return surface_over(levels, DECK)


def rough(seed: int) -> Surface:
    chance = random.Random(seed)
    corners = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (0.0, 4.0)]
    inner = [(chance.uniform(0, 8), chance.uniform(0, 4)) for _ in range(20)]
    return surface_over([(x, y, chance.uniform(0, 0.1)) for x, y in corners + inner], DECK)


@pytest.mark.parametrize(("fall", "direction_deg"), [(0.0125, 180.0), (-0.02, 0.0)])
def test_every_piece_of_a_plane_has_its_fall(fall: float, direction_deg: float) -> None:
    for piece in local_falls(sloped({0.0: 0.0, 3.0: 3.0 * fall, 8.0: 8.0 * fall})):
        assert piece.fall_mm_per_m == pytest.approx(1000.0 * abs(fall))
        assert piece.direction_deg == pytest.approx(direction_deg)


def test_level_piece_has_no_direction() -> None:
    assert {piece.direction_deg for piece in local_falls(sloped({0.0: 1.3, 8.0: 1.3}))} == {None}


def test_share_below_a_limit_is_by_area() -> None:
    """3 of 8 m at 1:90, below 1:80; 5 of 8 m at 1:40: BS 6229 asks for 1:80."""
    falls = local_falls(sloped({0.0: 0.0, 3.0: 3.0 / 90, 8.0: 3.0 / 90 + 5.0 / 40}))
    assert share_below(falls) == pytest.approx(3.0 / 8.0)
    assert share_below(falls, least_mm_per_m=11.0) == 0.0
    assert share_below(falls, least_mm_per_m=30.0) == 1.0


def test_fall_of_exactly_one_in_80_is_not_below() -> None:
    falls = local_falls(sloped({0.0: 0.0, 1.1: 1.1 / 80, 3.7: 3.7 / 80, 8.0: 8.0 / 80}))
    assert share_below(falls) == 0.0
    just_below = local_falls(sloped({0.0: 0.0, 8.0: 0.099_999}))
    assert share_below(just_below) == 1.0


@settings(deadline=None)
@given(seed=st.integers(0, 10_000), limit=st.floats(0.0, 100.0))
def test_shares_below_and_not_below_make_one(seed: int, limit: float) -> None:
    surface = rough(seed)
    falls = local_falls(surface)
    area_m2 = sum(piece.area_m2 for piece in falls)
    assert area_m2 == pytest.approx(surface.covered_m2)
    kept = sum(piece.area_m2 for piece in falls if piece.fall_mm_per_m >= limit)
    assert share_below(falls, least_mm_per_m=limit) + kept / area_m2 == pytest.approx(1.0)


@settings(deadline=None)
@given(seed=st.integers(0, 10_000), one=st.floats(0.0, 100.0), other=st.floats(0.0, 100.0))
def test_share_below_grows_with_the_limit(seed: int, one: float, other: float) -> None:
    falls = local_falls(rough(seed))
    lower, higher = sorted((one, other))
    assert share_below(falls, least_mm_per_m=lower) <= share_below(falls, least_mm_per_m=higher)


def test_far_side_of_a_ridge_drains_back() -> None:
    """Ridge 2 m from the far wall: 2 x 4 m run away from the eaves."""
    surface = sloped({0.0: 0.0, 6.0: 0.09, 8.0: 0.05})
    assert back_fall_m2(surface, EAVES) == pytest.approx(8.0)
    assert back_fall_m2(surface, Drains(outlets_m=((0, 2),))) == pytest.approx(8.0)


def test_outlet_on_each_side_leaves_no_back_fall() -> None:
    surface = sloped({0.0: 0.0, 6.0: 0.09, 8.0: 0.05})
    assert back_fall_m2(surface, Drains(outlets_m=((0, 2), (8, 2)))) == 0.0
    assert back_fall_m2(surface, Drains(outlets_m=((8, 2),), edges_m=EAVES.edges_m)) == 0.0


def test_level_roof_has_no_back_fall() -> None:
    assert back_fall_m2(sloped({0.0: 1.1, 8.0: 1.1}), EAVES) == 0.0


def test_back_fall_within_the_levels_uncertainty_is_let_be() -> None:
    surface = sloped({0.0: 0.0, 6.0: 0.09, 8.0: 0.088})
    assert back_fall_m2(surface, EAVES) == pytest.approx(8.0)
    assert back_fall_m2(surface, EAVES, least_mm_per_m=1.0) == 0.0


@pytest.mark.parametrize(("uncertainty_mm", "back_m2"), [(1.41, 8.0), (1.42, 0.0)])
def test_fall_that_levels_can_feign_is_let_be(uncertainty_mm: float, back_m2: float) -> None:
    """2 mm over 2 m, a difference of two levels: U = sqrt(2) * 1.414 mm / 2 m (JCGM 100, 5.1.2)."""
    surface = sloped({0.0: 0.0, 6.0: 0.09, 8.0: 0.088})
    found = back_fall_m2(surface, EAVES, level_uncertainty_mm=uncertainty_mm)
    assert found == pytest.approx(back_m2)


@settings(deadline=None)
@given(seed=st.integers(0, 10_000), uncertainty_mm=st.floats(0.0, 50.0))
def test_uncertain_levels_never_add_back_fall(seed: int, uncertainty_mm: float) -> None:
    surface = rough(seed)
    doubted = back_fall_m2(surface, EAVES, level_uncertainty_mm=uncertainty_mm)
    assert 0.0 <= doubted <= back_fall_m2(surface, EAVES)


@settings(deadline=None)
@given(seed=st.integers(0, 10_000), x=st.floats(0.0, 8.0), y=st.floats(0.0, 4.0))
def test_another_outlet_never_adds_back_fall(seed: int, x: float, y: float) -> None:
    surface = rough(seed)
    more = Drains(outlets_m=((x, y),), edges_m=EAVES.edges_m)
    assert back_fall_m2(surface, more) <= back_fall_m2(surface, EAVES) <= surface.covered_m2 + 1e-9


@given(x=st.floats(-9.0, 9.0), y=st.floats(-9.0, 9.0), share=st.floats(0.0, 1.0))
def test_no_place_on_an_edge_is_nearer(x: float, y: float, share: float) -> None:
    start, end = (1.0, 2.0), (4.0, -3.0)
    foot = nearest_on_edge((x, y), start, end)
    other = start[0] + share * 3.0, start[1] - share * 5.0
    assert hypot(foot[0] - x, foot[1] - y) <= hypot(other[0] - x, other[1] - y) + 1e-9


@pytest.mark.parametrize(
    "drains",
    [
        {},
        {"outlets_m": ((float("nan"), 0.0),)},
        {"edges_m": (((0.0, 0.0), (0.0, float("inf"))),)},
        {"edges_m": (((1.0, 1.0), (1.0, 1.0)),)},
    ],
    ids=["none", "no_place", "endless", "no_length"],
)
def test_drains_need_a_way_out(drains: dict[str, tuple[tuple[float, float], ...]]) -> None:
    with pytest.raises(DomainError):
        Drains(**drains)  # type: ignore[arg-type]


def test_limits_below_nought_are_refused() -> None:
    piece = LocalFall(fall_mm_per_m=5.0, direction_deg=0.0, area_m2=1.0, centre_m=(0, 0))
    with pytest.raises(DomainError, match="least fall"):
        share_below((piece,), least_mm_per_m=-1.0)
    with pytest.raises(DomainError, match="least fall"):
        back_fall_m2(sloped({0.0: 0.0, 8.0: 0.1}), EAVES, least_mm_per_m=float("nan"))
    with pytest.raises(DomainError, match="pieces of the roof"):
        share_below(())

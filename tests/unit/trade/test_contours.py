"""Contour lines of surfaces whose lines plane geometry gives."""

from __future__ import annotations

import random
from math import hypot

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.contours import Contour, contours
from qa.trade.outline import Outline, RoofArea
from qa.trade.surface import Surface, surface_over

DECK = RoofArea(outline=Outline(points_m=((0, 0), (8, 0), (8, 4), (0, 4))))


def tilted(fall: float, datum_m: float = 0.0) -> Surface:
    places = [(x, y) for x in (0.0, 2.0, 5.0, 8.0) for y in (0.0, 1.0, 4.0)]
    return surface_over([(x, y, datum_m + fall * x) for x, y in places], DECK)


def heap(top_m: float) -> Surface:
    """A heap with its top in the middle of a flat roof."""
    levels = [(x, y, 0.0) for x in range(9) for y in range(5)]
    levels[levels.index((4, 2, 0.0))] = (4, 2, top_m)
    return surface_over(levels, DECK)


def rises_to_the_left(surface: Surface, contour: Contour) -> bool:
    (x, y), (end_x, end_y) = contour.points_m[:2]
    middle_x, middle_y = (x + end_x) / 2.0, (y + end_y) / 2.0
    far = 1e-3 / hypot(end_x - x, end_y - y)
    left = surface.height_m((middle_x - far * (end_y - y), middle_y + far * (end_x - x)))
    return left is None or left > contour.height_m


def test_plane_has_straight_lines_at_every_step() -> None:
    """A fall of 1:80 rises 10 mm every 0.8 m."""
    lines = contours(tilted(0.0125), 10.0)
    assert [line.height_m for line in lines] == pytest.approx([n / 100 for n in range(1, 11)])
    for line in lines:
        assert not line.is_closed
        assert [x for x, _ in line.points_m] == pytest.approx(
            [line.height_m / 0.0125] * len(line.points_m)
        )
        assert sorted((line.points_m[0][1], line.points_m[-1][1])) == [0.0, 4.0]


def test_heights_are_multiples_in_the_surveys_datum() -> None:
    lines = contours(tilted(0.0125, datum_m=101.203), 50.0)
    assert [line.height_m for line in lines] == pytest.approx([101.25, 101.3])


def test_lines_round_a_heap_are_closed() -> None:
    surface = heap(0.045)
    lines = [line for line in contours(surface, 10.0) if line.height_m > 0.0]
    assert [line.height_m for line in lines] == pytest.approx([0.01, 0.02, 0.03, 0.04])
    assert all(line.is_closed for line in lines)
    assert all(rises_to_the_left(surface, line) for line in lines)
    for line in lines:
        assert Outline(points_m=line.points_m).contains((4, 2))


def test_level_roof_and_bare_peak_have_no_line() -> None:
    assert contours(tilted(0.0, datum_m=0.005), 10.0) == ()
    assert [line.height_m for line in contours(heap(0.01), 10.0) if line.height_m > 0.0] == []


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 100_000), step_mm=st.sampled_from([3.0, 5.0, 10.0, 12.5]))
def test_lines_lie_on_the_surface_with_high_ground_left(seed: int, step_mm: float) -> None:
    chance = random.Random(seed)
    places = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (0.0, 4.0)]
    places += [(chance.uniform(0, 8), chance.uniform(0, 4)) for _ in range(30)]
    surface = surface_over([(x, y, chance.randrange(60) / 1000.0) for x, y in places], DECK)
    for line in contours(surface, step_mm):
        assert line.height_m * 1000.0 / step_mm == pytest.approx(
            round(line.height_m * 1000.0 / step_mm)
        )
        for point in line.points_m:
            height = surface.height_m(point)
            assert height is not None
            assert height == pytest.approx(line.height_m, abs=1e-6)
        if not line.is_closed:
            for x, y in (line.points_m[0], line.points_m[-1]):
                assert min(x, 8.0 - x, y, 4.0 - y) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("step_mm", [0.0, -5.0, float("nan"), 0.001])
def test_step_must_be_a_length_that_can_be_drawn(step_mm: float) -> None:
    with pytest.raises(DomainError):
        contours(tilted(0.0125), step_mm)

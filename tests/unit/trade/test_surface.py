"""Surface over a survey against an independent geometry library and planes known exactly."""

from __future__ import annotations

import random
from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator

from qa.errors import DomainError
from qa.trade.outline import Outline, RoofArea
from qa.trade.surface import Surface, surface_over

Level = tuple[float, float, float]

L_SHAPE = Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5)))


def box(low_x: float, low_y: float, width: float, height: float) -> Outline:
    high_x, high_y = low_x + width, low_y + height
    return Outline(points_m=((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)))


def polygon_of(roof: RoofArea) -> shapely.Polygon:
    holes = [opening.points_m for opening in roof.openings]
    return shapely.Polygon(roof.outline.points_m, holes)


def scattered(count: int, seed: int, far: float = 7.0) -> list[Level]:
    chance = random.Random(seed)
    places = [(chance.uniform(-1.0, far), chance.uniform(-1.0, far)) for _ in range(count)]
    return [(x, y, 0.0125 * x - 0.02 * y) for x, y in places]


ROOFS = {
    "square": RoofArea(outline=box(0, 0, 6, 6)),
    "l_shape": RoofArea(outline=L_SHAPE),
    "openings": RoofArea(outline=box(0, 0, 6, 6), openings=(box(1, 1, 1, 2), box(3, 3, 2, 1.5))),
    "opening_near_edge": RoofArea(outline=box(0, 0, 6, 6), openings=(box(0.003, 2, 1, 1),)),
    "sharp": RoofArea(outline=Outline(points_m=((0, 0), (6, 0.4), (6, 1), (1.3, 1.2), (5, 5)))),
    "round": RoofArea(
        outline=Outline(
            points_m=tuple(
                (3 + 2.9 * cos(2 * pi * n / 60), 3 + 2.9 * sin(2 * pi * n / 60)) for n in range(60)
            )
        )
    ),
}


@pytest.mark.parametrize("roof", ROOFS.values(), ids=ROOFS.keys())
@pytest.mark.parametrize("count", [8, 60, 400])
def test_surface_covers_the_roof_between_its_levels(roof: RoofArea, count: int) -> None:
    """shapely: the part of the roof in the hull of the levels; edges are kept to a millimetre."""
    levels = scattered(count, seed=count)
    surface = surface_over(levels, roof)
    hull = shapely.MultiPoint([level[:2] for level in levels]).convex_hull
    polygon = polygon_of(roof)
    assert surface.covered_m2 == pytest.approx(polygon.intersection(hull).area, abs=1e-4)
    assert surface.not_surveyed_m2 == pytest.approx(polygon.difference(hull).area, abs=1e-4)


@pytest.mark.parametrize("roof", ROOFS.values(), ids=ROOFS.keys())
def test_triangles_of_a_surface_keep_to_the_roof(roof: RoofArea) -> None:
    """shapely: union without overlap, and nothing more than a millimetre beside the roof."""
    surface = surface_over(scattered(120, seed=3), roof)
    triangles = [
        shapely.Polygon([surface.levels_m[corner][:2] for corner in triangle])
        for triangle in surface.triangles
    ]
    assert all(triangle.exterior.is_ccw for triangle in triangles)
    union = shapely.union_all(triangles)
    assert union.area == pytest.approx(sum(triangle.area for triangle in triangles), abs=1e-9)
    assert union.difference(polygon_of(roof).buffer(0.001)).area == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("roof", ROOFS.values(), ids=ROOFS.keys())
def test_added_corners_lie_on_the_surveyed_plane(roof: RoofArea) -> None:
    surface = surface_over(scattered(120, seed=5), roof)
    assert len(surface.levels_m) > surface.surveyed == 120
    for x, y, z in surface.levels_m:
        assert z == pytest.approx(0.0125 * x - 0.02 * y, abs=1e-7)


def test_levels_on_a_grid_with_the_outline_need_no_corner() -> None:
    levels = [(x / 10, y / 10, 0.0) for x in range(0, 61, 3) for y in range(0, 61, 3)]
    surface = surface_over(levels, RoofArea(outline=box(0, 0, 6, 6)))
    assert surface.levels_m == tuple(levels)
    assert surface.covered_m2 == pytest.approx(36.0)
    assert surface.not_surveyed_m2 == pytest.approx(0.0, abs=1e-9)


def test_heights_agree_with_another_interpolation() -> None:
    """scipy's LinearNDInterpolator (Qhull) inside a roof whose edges carry levels."""
    chance = random.Random(11)
    inner = [(chance.uniform(0, 6), chance.uniform(0, 6)) for _ in range(200)]
    rim = [(float(n), y) for n in range(7) for y in (0.0, 6.0)]
    rim += [(x, float(n)) for n in range(1, 6) for x in (0.0, 6.0)]
    levels = [(x, y, 0.01 * sin(3 * x) * cos(2 * y)) for x, y in inner + rim]
    surface = surface_over(levels, RoofArea(outline=box(0, 0, 6, 6)))
    array = np.array(levels)
    theirs = LinearNDInterpolator(array[:, :2], array[:, 2])
    assert len(surface.levels_m) == len(levels)
    for _ in range(200):
        x, y = chance.uniform(0, 6), chance.uniform(0, 6)
        assert surface.height_m((x, y)) == pytest.approx(float(theirs(x, y)), abs=1e-6)


def test_place_beside_the_surface_has_no_height() -> None:
    surface = surface_over(scattered(60, seed=2), ROOFS["openings"])
    assert surface.height_m((9.0, 3.0)) is None
    assert surface.height_m((1.5, 2.0)) is None


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10_000), turned_deg=st.floats(0.0, 360.0), far_m=st.integers(0, 6_000_000)
)
def test_covered_area_is_the_same_after_turning(seed: int, turned_deg: float, far_m: int) -> None:
    c, s = cos(radians(turned_deg)), sin(radians(turned_deg))

    def moved(point: tuple[float, ...]) -> tuple[float, ...]:
        x, y = point[0], point[1]
        return (x * c - y * s + far_m, x * s + y * c + far_m, *point[2:])

    def ring(outline: Outline) -> Outline:
        return Outline(points_m=tuple((moved(p)[0], moved(p)[1]) for p in outline.points_m))

    roof, levels = ROOFS["openings"], scattered(25, seed)
    turned_roof = RoofArea(outline=ring(roof.outline), openings=tuple(map(ring, roof.openings)))
    turned = surface_over([moved(level) for level in levels], turned_roof)
    assert turned.covered_m2 == pytest.approx(surface_over(levels, roof).covered_m2, abs=2e-3)


@pytest.mark.parametrize(
    ("levels", "sentence"),
    [
        ([(0, 0, 0.0), (6, 0, 0.0)], "number of levels is 2"),
        ([(0, 0, 0.0), (3, 3, 0.0), (6, 6, 0.0)], "one line, from level 1 at .* to level 3"),
        (
            [(0, 0, 0.0), (6, 0, 0.0), (0, 6, 0.0), (6, 0, 0.1)],
            "place of level 4 is .*, that of level 2",
        ),
        ([(0, 0, 0.0), (6, 0, float("nan")), (0, 6, 0.0)], "height of level 2"),
        ([(0, 0, 0.0), (6, 0, 0.0), (0, float("inf"), 0.0)], "place of level 3"),
        ([(10, 0, 0.0), (16, 0, 0.0), (10, 6, 0.0)], "triangles on the roof"),
    ],
    ids=["two", "in_line", "twice", "no_height", "no_place", "beside"],
)
def test_survey_without_a_surface_is_refused(levels: list[Level], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        surface_over(levels, RoofArea(outline=box(0, 0, 6, 6)))


@pytest.mark.parametrize(
    ("triangles", "surveyed"), [((), 3), (((0, 1, 3),), 3), (((-1, 1, 2),), 3), (((0, 1, 2),), 4)]
)
def test_surface_names_only_corners_that_are_there(
    triangles: tuple[tuple[int, int, int], ...], surveyed: int
) -> None:
    with pytest.raises(DomainError):
        Surface(
            roof=ROOFS["square"],
            levels_m=((0, 0, 0), (1, 0, 0), (0, 1, 0)),
            triangles=triangles,
            surveyed=surveyed,
        )

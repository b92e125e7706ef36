"""Triangles over places against an independent triangulation and Delaunay's own condition."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull, Delaunay

from qa.errors import DomainError
from qa.trade.triangulation import Place, Triangulation

FAR = st.integers(-50_000_000, 50_000_000)
NEAR = st.integers(0, 5)


def places_of(coordinate: st.SearchStrategy[int], most: int) -> st.SearchStrategy[list[Place]]:
    return st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=most, unique=True)


def twice_area(a: Place, b: Place, c: Place) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def in_circle(a: Place, b: Place, c: Place, p: Place) -> bool:
    """The determinant in whole numbers."""
    rows = [(x - p[0], y - p[1], (x - p[0]) ** 2 + (y - p[1]) ** 2) for x, y in (a, b, c)]
    (ax, ay, al), (bx, by, bl), (cx, cy, cl) = rows
    return ax * (by * cl - bl * cy) - ay * (bx * cl - bl * cx) + al * (bx * cy - by * cx) > 0


def spread(places: list[Place]) -> bool:
    return any(twice_area(places[0], places[1], place) for place in places[2:])


def require_delaunay(places: list[Place], mesh: Triangulation) -> None:
    triangles = [tuple(places[n - 1] for n in triangle) for triangle in mesh.triangles()]
    covered = 0
    for a, b, c in triangles:
        assert twice_area(a, b, c) > 0
        assert not any(in_circle(a, b, c, place) for place in places)
        covered += twice_area(a, b, c)
    hull = dict(mesh.hull())
    ring = [next(iter(hull))]
    while len(ring) <= len(hull):
        ring.append(hull[ring[-1]])
    assert ring[0] == ring[-1]
    corners = [places[n - 1] for n in ring]
    around = sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise(corners))
    assert covered == around


@given(places=places_of(NEAR, 36))
def test_no_place_lies_in_a_circle_on_a_lattice(places: list[Place]) -> None:
    """Lines and circles of many places: what rounding would spoil."""
    assume(spread(places))
    mesh = Triangulation(places)
    require_delaunay(places, mesh)
    assert {n for triangle in mesh.triangles() for n in triangle} == set(range(1, len(places) + 1))


@given(places=places_of(FAR, 30), added=places_of(FAR, 8))
def test_places_added_later_are_as_good_as_first(places: list[Place], added: list[Place]) -> None:
    assume(spread(places))
    fresh = [place for place in added if place not in places]
    mesh = Triangulation(places)
    assert [mesh.add(place) for place in fresh] == [len(places) + 1 + n for n in range(len(fresh))]
    require_delaunay(places + fresh, mesh)


def test_triangles_are_those_of_another_triangulation() -> None:
    """scipy's Delaunay (Qhull) on a thousand places of which no four lie on one circle."""
    chance = np.random.default_rng(7)
    places = [(int(x), int(y)) for x, y in chance.integers(0, 10**8, (1000, 2))]
    theirs = {tuple(sorted(int(n) + 1 for n in s)) for s in Delaunay(np.array(places)).simplices}
    ours = {tuple(sorted(triangle)) for triangle in Triangulation(places).triangles()}
    assert ours == theirs


def test_square_grid_is_covered_without_needles() -> None:
    """scipy's hull for the area; on a square grid every triangle is half a square."""
    places = [(x * 250_000, y * 250_000) for x in range(30) for y in range(20)]
    mesh = Triangulation(places)
    areas = {twice_area(*(places[n - 1] for n in triangle)) / 2 for triangle in mesh.triangles()}
    assert areas == {250_000 * 250_000 / 2}
    hull = ConvexHull(np.array(places, dtype=float))
    assert len(list(mesh.triangles())) * 250_000**2 / 2 == pytest.approx(hull.volume)


@given(places=places_of(NEAR, 20), x=st.integers(-2, 7), y=st.integers(-2, 7))
def test_place_is_found_in_its_triangle(places: list[Place], x: int, y: int) -> None:
    assume(spread(places))
    mesh = Triangulation(places)
    a, b, c = mesh.locate((x, y))
    if c:
        ring = [places[n - 1] for n in (a, b, c, a)]
        assert all(twice_area(one, other, (x, y)) >= 0 for one, other in pairwise(ring))
    else:
        assert twice_area(places[a - 1], places[b - 1], (x, y)) > 0


@pytest.mark.parametrize(
    ("places", "sentence"),
    [
        ([(0, 0), (1, 1)], "number of places is 2"),
        ([(0, 0), (4, 0), (0, 3), (4, 0)], "number of different places is 3"),
        ([(0, 0), (1, 2), (2, 4), (-3, -6)], "straight line"),
    ],
    ids=["two", "twice", "in_line"],
)
def test_places_without_triangles_are_refused(places: list[Place], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        Triangulation(places)

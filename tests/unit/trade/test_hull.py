"""The hull round places against a geometry library."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.hull import hull_m
from qa.trade.outline import ring_area_m2

PLACES = st.lists(st.tuples(st.integers(-50, 50), st.integers(-50, 50)), min_size=3, max_size=40)


@given(places=PLACES)
def test_hull_is_that_of_a_geometry_library(places: list[tuple[int, int]]) -> None:
    """shapely: the convex hull of the same places."""
    hull = shapely.MultiPoint(places).convex_hull
    assume(hull.geom_type == "Polygon")
    corners = hull_m(places)
    assert ring_area_m2(corners) == pytest.approx(hull.area)
    assert len(corners) == len(hull.exterior.coords) - 1


def test_places_in_one_line_have_no_hull() -> None:
    for places in ([(0, 0), (1, 1), (2, 2)], [(0, 0), (1, 0)], []):
        with pytest.raises(DomainError, match="one line"):
            hull_m(places)

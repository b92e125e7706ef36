"""How well a taped area is known, against an outside calculator and shapely's offset outlines."""

from __future__ import annotations

import GTC
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.bays import lay_out_bays
from qa.trade.outline import Outline, RoofArea
from qa.trade.taped_area import area_uncertainty_m2, bays_uncertainty_m2

SIDE = st.floats(0.5, 50.0)
CONCAVE = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (3.0, 2.0), (3.0, 5.0), (0.0, 5.0))


def rectangle(a: float, b: float, **roof: float) -> RoofArea:
    return RoofArea(outline=Outline(points_m=((0, 0), (a, 0), (a, b), (0, b))), **roof)


@given(a=SIDE, b=SIDE, tape=st.floats(0.001, 0.1))
def test_rectangle_agrees_with_an_outside_calculator(a: float, b: float, tape: float) -> None:
    """Both sides with the error of one tape, which is the same in each."""
    error = GTC.ureal(0.0, tape)
    expected = GTC.uncertainty((a + error) * (b + error))
    found = area_uncertainty_m2(rectangle(a, b), length_uncertainty_m=tape)
    assert found == pytest.approx(expected)


def test_concave_outline_grows_by_its_perimeter() -> None:
    """shapely moves every edge outwards by half the error."""
    error = 1e-4
    grown = shapely.Polygon(CONCAVE).buffer(error / 2, join_style="mitre")
    expected = (grown.area - 21.0) / error
    roof = RoofArea(outline=Outline(points_m=CONCAVE))
    assert area_uncertainty_m2(roof, length_uncertainty_m=1.0) == pytest.approx(expected, rel=1e-4)


def test_openings_slope_and_upstands_make_it_worse() -> None:
    plain = rectangle(6.0, 4.0)
    hole = Outline(points_m=((1, 1), (2, 1), (2, 2), (1, 2)))
    holed = RoofArea(outline=plain.outline, openings=(hole,))
    assert area_uncertainty_m2(plain, length_uncertainty_m=0.01) == pytest.approx(0.1)
    assert area_uncertainty_m2(holed, length_uncertainty_m=0.01) == pytest.approx(0.12)
    steep = rectangle(6.0, 4.0, slope_deg=60.0)
    assert area_uncertainty_m2(steep, length_uncertainty_m=0.01) == pytest.approx(0.2)
    walled = area_uncertainty_m2(plain, length_uncertainty_m=0.01, upstands_m=[(4.0, 0.25)])
    assert walled == pytest.approx(0.1425)


def test_edges_of_bays_count_for_each_bay() -> None:
    bays = lay_out_bays(rectangle(4.0, 1.0), mat_width_m=1, mat_overlap_m=0, bay_length_m=1)
    assert bays_uncertainty_m2(bays[:1], edge_uncertainty_m=0.05) == pytest.approx(0.1)
    assert bays_uncertainty_m2(bays, edge_uncertainty_m=0.05) == pytest.approx(0.2)
    assert bays_uncertainty_m2((), edge_uncertainty_m=0.05) == 0.0


def test_negative_uncertainty_of_a_length_is_refused() -> None:
    with pytest.raises(DomainError, match="uncertainty of a length"):
        area_uncertainty_m2(rectangle(1.0, 1.0), length_uncertainty_m=-0.01)
    with pytest.raises(DomainError, match="uncertainty of an edge"):
        bays_uncertainty_m2((), edge_uncertainty_m=float("nan"))

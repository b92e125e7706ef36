"""How the areas of a job are laid out in bays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.assess.frame import frame_of
from qa.trade.bays import Bay, lay_out_bays
from qa.trade.clipping import turned
from qa.trade.outline import Outline, RoofArea
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL

L_SHAPE = ((0.0, 0.0), (6.65, 0.0), (6.65, 2.9), (3.8, 2.9), (3.8, 4.8), (0.0, 4.8))


def bays_of(outline_m: Sequence[Sequence[float]]) -> Mapping[str, Bay]:
    """The bays of an area with an outline, as the assessment lays them."""
    builder = RecordBuilder.opened()
    builder.add("area", outline_m=[list(point) for point in outline_m])
    return frame_of(builder.job(), GENERAL).areas["main"].bays


def test_longest_edge_along_x_keeps_upright_bays() -> None:
    roof = RoofArea(outline=Outline(points_m=L_SHAPE))
    upright = lay_out_bays(roof, mat_width_m=1.0, mat_overlap_m=0.05, bay_length_m=1.0)
    assert tuple(bays_of(L_SHAPE).values()) == upright


def test_longest_edge_along_y_turns_the_strips() -> None:
    """Strips run up; the first lies along the right side, and begins at its lower end."""
    bays = bays_of([(0, 0), (3, 0), (3, 6), (0, 6)])
    assert max(bay.number for bay in bays.values()) == 6
    assert bays["r1b1"].corners_m[0] == pytest.approx((3.0, 0.0))
    assert bays["r1b1"].corners_m[1] == pytest.approx((3.0, 1.0))
    assert bays["r2b1"].corners_m[0] == pytest.approx((2.0, 0.0))


@given(turn_deg=st.floats(-89.0, 89.0))
def test_turned_outline_keeps_keys_and_areas(turn_deg: float) -> None:
    corners = turned(L_SHAPE, angle_deg=turn_deg, about_m=(1.0, 2.0))
    straight, askew = bays_of(L_SHAPE), bays_of(corners)
    assert askew.keys() == straight.keys()
    for key, bay in askew.items():
        assert bay.area_m2 == pytest.approx(straight[key].area_m2, abs=1e-6)

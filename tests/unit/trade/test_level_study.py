"""What levels say of a whole roof, and what they leave unsaid."""

from __future__ import annotations

import pytest

from qa.errors import DomainError
from qa.trade.drainage import Drains
from qa.trade.edge_matching import PlanEdge
from qa.trade.level_study import LevelStudy, study_levels
from qa.trade.outline import Outline, RoofArea
from qa.trade.survey import Level
from qa.trade.vocabulary import EdgeKind
from qa.trade.ways_out import WaysOut, ways_out

DECK = RoofArea(outline=Outline(points_m=((0, 0), (8, 0), (8, 4), (0, 4))))
GUTTER = WaysOut(drains=Drains(edges_m=(((0, 4), (0, 0)),)), lost=())
UNKNOWN = WaysOut(drains=None, lost=())


def edge(key: str, kind: EdgeKind, length_m: float) -> PlanEdge:
    return PlanEdge(key=key, kind=kind, length_m=length_m)


def along_x(heights_m: dict[float, float], ways: WaysOut = GUTTER, **given: float) -> LevelStudy:
    levels: list[Level] = [(x, y, z) for x, z in heights_m.items() for y in (0.0, 4.0)]
    return study_levels(levels, DECK, ways, **given)


def test_even_slope_to_the_gutter_has_nothing_to_tell() -> None:
    found = along_x({0.0: 0.0, 8.0: 0.16})
    assert found.plane.fall_mm_per_m == pytest.approx(20.0)
    assert (found.share_below, found.back_fall_m2, found.doubtful_m2) == (0.0, 0.0, 0.0)
    assert (found.hollows, found.is_one_plane) == ((), True)


def test_hollow_before_the_gutter_holds_its_prism() -> None:
    """A trough 10 mm deep, 1 m of ground rising to the lip and 1 m beyond: a triangle in section.

    Water reaches 10 mm up the far side, which rises 0.1 m in 6 m: 0.6 m. Area (1 + 0.6) * 4 m²,
    volume 0.5 * 10 mm * 1.6 m * 4 m = 32 l.
    """
    found = along_x({0.0: 0.0, 1.0: 0.01, 2.0: 0.0, 8.0: 0.1})
    assert found.hollows is not None
    (hollow,) = found.hollows
    assert (hollow.deepest_mm, hollow.area_m2) == pytest.approx((10.0, 6.4))
    assert hollow.volume_l == pytest.approx(32.0)
    assert found.back_fall_m2 == pytest.approx(4.0)


def test_doubtful_back_fall_is_kept_apart() -> None:
    heights = {0.0: 0.0, 6.0: 0.09, 8.0: 0.088}
    found = along_x(heights, level_uncertainty_mm=2.0)
    assert (found.back_fall_m2, found.doubtful_m2) == pytest.approx((0.0, 8.0))
    sure = along_x(heights)
    assert (sure.back_fall_m2, sure.doubtful_m2) == pytest.approx((8.0, 0.0))


def test_valley_roof_is_not_one_plane() -> None:
    """Both sides fall 1:40 to the valley, the plane through all of it is level."""
    found = along_x({0.0: 0.1, 4.0: 0.0, 8.0: 0.1})
    assert found.plane.fall_mm_per_m == pytest.approx(0.0, abs=1e-9)
    assert (found.share_below, found.is_one_plane) == (0.0, False)


def test_flat_roof_is_one_plane_below_the_limit() -> None:
    found = along_x({0.0: 0.0, 8.0: 0.04})
    assert (found.is_plane_below, found.share_below, found.is_one_plane) == (True, 1.0, True)


def test_plane_of_exactly_one_in_80_is_not_below() -> None:
    found = along_x({0.0: 0.0, 3.3: 3.3 / 80, 8.0: 0.1})
    assert (found.is_plane_below, found.is_one_plane) == (False, True)


def test_nothing_is_said_of_water_without_a_way_out() -> None:
    found = along_x({0.0: 0.0, 8.0: 0.16}, UNKNOWN)
    assert (found.back_fall_m2, found.doubtful_m2, found.hollows) == (None, None, None)
    assert found.stuck == ""


def test_part_without_a_way_out_is_named_and_the_rest_answered() -> None:
    """Levels on both arms of a roof that an opening parts; only the left arm has an outlet."""
    parted = RoofArea(
        outline=DECK.outline,
        openings=(Outline(points_m=((3, 0.5), (5, 0.5), (5, 3.5), (3, 3.5))),),
    )
    ends: list[Level] = [(0.5, 1, 0), (2.5, 1, 0.05), (2.5, 3, 0.05), (0.5, 3, 0)]
    levels = [*ends, *((x + 5.0, y, z) for x, y, z in ends)]
    left = WaysOut(drains=Drains(outlets_m=((0.5, 2.0),)), lost=())
    found = study_levels(levels, parted, left)
    assert found.hollows is None
    assert "must be an outlet or a draining edge on that part" in found.stuck
    assert found.plane.fall_mm_per_m > 0.0


def test_levels_in_one_line_are_refused() -> None:
    with pytest.raises(DomainError, match="one line"):
        study_levels([(0, 0, 0), (1, 1, 0), (2, 2, 0)], DECK, GUTTER)


def test_drip_edges_and_outlets_are_ways_out() -> None:
    edges = [
        edge("eaves", EdgeKind.DRIP_EDGE, 8.0),
        edge("right", EdgeKind.RAISED_EDGE, 4.0),
        edge("wall", EdgeKind.WALL_FILLET, 8.0),
        edge("left", EdgeKind.RAISED_EDGE, 4.0),
    ]
    found = ways_out(DECK.outline, edges, [(7.0, 0.5)])
    assert found.drains == Drains(outlets_m=((7.0, 0.5),), edges_m=(((0, 0), (8, 0)),))
    assert found.lost == ()
    assert ways_out(DECK.outline, edges[1:2]) == WaysOut(drains=None, lost=())

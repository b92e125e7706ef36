from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from qa.trade.edge_matching import TOLERANCE_M, PlanEdge, place_edges
from qa.trade.vocabulary import EdgeKind

DRIP, RAISED, WALL = EdgeKind.DRIP_EDGE, EdgeKind.RAISED_EDGE, EdgeKind.WALL_FILLET
RECTANGLE = (6.0, 4.0, 6.0, 4.0)


def edge(key: str, kind: EdgeKind, length_m: float) -> PlanEdge:
    return PlanEdge(key=key, kind=kind, length_m=length_m)


def test_equal_edges_of_one_kind_are_placed_by_length() -> None:
    placed = place_edges(RECTANGLE, (edge("e", RAISED, 4.0), edge("w", RAISED, 4.0)))
    assert placed.by_side == (None, RAISED, None, RAISED)
    assert placed.unplaced == ()
    assert not placed.is_by_order


def test_equal_edges_of_two_kinds_are_not_guessed() -> None:
    edges = (edge("n", WALL, 6.0), edge("s", DRIP, 6.0))
    placed = place_edges(RECTANGLE, edges)
    assert placed.by_side == (None, None, None, None)
    assert placed.unplaced == edges


def test_order_decides_where_every_edge_fits_its_side() -> None:
    edges = (
        edge("s", DRIP, 6.0),
        edge("e", RAISED, 4.0),
        edge("n", WALL, 6.0),
        edge("w", RAISED, 4.0),
    )
    placed = place_edges(RECTANGLE, edges)
    assert placed.by_side == (DRIP, RAISED, WALL, RAISED)
    assert placed.is_by_order


def test_order_does_not_decide_where_one_edge_does_not_fit() -> None:
    edges = (
        edge("s", DRIP, 6.0),
        edge("n", WALL, 6.0),
        edge("e", RAISED, 4.0),
        edge("w", RAISED, 4.0),
    )
    placed = place_edges(RECTANGLE, edges)
    assert placed.by_side == (None, RAISED, None, RAISED)
    assert [one.key for one in placed.unplaced] == ["s", "n"]


def test_one_edge_for_two_equal_sides_is_not_guessed() -> None:
    assert place_edges(RECTANGLE, (edge("s", DRIP, 6.0),)).unplaced == (edge("s", DRIP, 6.0),)


def test_edge_that_fits_no_side_is_unplaced() -> None:
    placed = place_edges(RECTANGLE, (edge("round", DRIP, 20.0),))
    assert [one.key for one in placed.unplaced] == ["round"]


def test_tolerance_itself_still_fits() -> None:
    sides = (3.0, 5.0, 4.0)
    on_limit = place_edges(sides, (edge("a", DRIP, 3.0 + TOLERANCE_M),))
    above_limit = place_edges(sides, (edge("a", DRIP, 3.001 + TOLERANCE_M),))
    assert on_limit.by_side[0] is DRIP
    assert above_limit.by_side[0] is None


@given(
    sides=st.lists(st.sampled_from([1.0, 2.0, 3.0]), min_size=3, max_size=8),
    edges=st.lists(
        st.builds(
            edge, st.just("e"), st.sampled_from(EdgeKind), st.sampled_from([1.0, 2.0, 3.0, 9.0])
        ),
        max_size=8,
    ),
)
def test_every_edge_is_placed_or_named(sides: list[float], edges: list) -> None:
    placed = place_edges(sides, edges)
    on_sides = sum(kind is not None for kind in placed.by_side)
    assert len(placed.by_side) == len(sides)
    assert on_sides + len(placed.unplaced) == len(edges)

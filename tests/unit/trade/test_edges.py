"""Edges by kind, trims, upstands; worked by hand, as no published example was found."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.edges import (
    EdgeLength,
    Turnup,
    length_by_kind,
    trim_needs,
    trims_along,
    upstand_area_m2,
)
from qa.trade.vocabulary import EdgeKind

EDGES = st.lists(
    st.builds(EdgeLength, kind=st.sampled_from(EdgeKind), length_m=st.floats(0.1, 40.0)),
    max_size=12,
)


@pytest.mark.parametrize(
    ("length_m", "trims"),
    [(0.2, 1), (3.0, 1), (3.001, 2), (5.95, 2), (5.951, 3), (8.9, 3), (8.901, 4)],
)
def test_trims_overlap_one_another(length_m: float, trims: int) -> None:
    """Common practice, no source: trims of 3 m that lie 50 mm over one another."""
    assert trims_along(length_m, trim_length_m=3.0, overlap_m=0.05) == trims


@given(length_m=st.floats(0.1, 200.0), trim_m=st.floats(0.5, 6.0), overlap_m=st.floats(0.0, 0.2))
def test_trims_reach_the_end_and_none_is_spare(
    length_m: float, trim_m: float, overlap_m: float
) -> None:
    trims = trims_along(length_m, trim_length_m=trim_m, overlap_m=overlap_m)
    reach_m = trims * trim_m - (trims - 1) * overlap_m
    assert reach_m >= length_m * (1 - 1e-6)
    assert trims == 1 or reach_m - (trim_m - overlap_m) < length_m


@given(edges=EDGES)
def test_metres_by_kind_add_to_the_whole(edges: list[EdgeLength]) -> None:
    runs = length_by_kind(edges)
    assert sum(run.length_m for run in runs) == pytest.approx(sum(e.length_m for e in edges))
    assert [run.kind for run in runs] == [k for k in EdgeKind if k in {e.kind for e in edges}]


def test_trims_of_a_garage_are_counted_by_kind() -> None:
    """6 m x 4 m with its long side at a wall, worked by hand."""
    edges = [
        EdgeLength(kind=EdgeKind.DRIP_EDGE, length_m=6.0),
        EdgeLength(kind=EdgeKind.RAISED_EDGE, length_m=4.0),
        EdgeLength(kind=EdgeKind.RAISED_EDGE, length_m=4.0),
        EdgeLength(kind=EdgeKind.WALL_FILLET, length_m=6.0),
    ]
    needs = trim_needs(edges, trim_length_m=3.0, overlap_m=0.05)
    assert [(need.kind.value, need.trims, need.overlaps) for need in needs] == [
        ("drip_edge", 3, 2),
        ("raised_edge", 4, 2),
        ("wall_fillet", 3, 2),
    ]
    assert [need.waste_pct for need in needs] == pytest.approx([50.0, 50.0, 50.0])


def test_upstand_laps_onto_the_field() -> None:
    upstands = [Turnup(length_m=6.0, height_m=0.15), Turnup(length_m=2.0, height_m=0.3)]
    assert upstand_area_m2(upstands) == pytest.approx(1.5)
    assert upstand_area_m2(upstands, lap_m=0.05) == pytest.approx(1.9)


def test_edges_refuse_figures_outside_their_domain() -> None:
    with pytest.raises(DomainError, match="length of a drip edge"):
        EdgeLength(kind=EdgeKind.DRIP_EDGE, length_m=0.0)
    with pytest.raises(DomainError, match="height of an upstand"):
        Turnup(length_m=1.0, height_m=-0.1)
    with pytest.raises(DomainError, match="overlap of trims"):
        trims_along(4.0, trim_length_m=3.0, overlap_m=3.0)
    with pytest.raises(DomainError, match="lap of an upstand"):
        upstand_area_m2([], lap_m=-0.1)

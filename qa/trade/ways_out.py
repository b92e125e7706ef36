"""Where the water of a roof can leave it, as far as its edges and outlets are known by place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from qa.trade.drainage import Drains
from qa.trade.edge_matching import PlanEdge, place_edges
from qa.trade.outline import Outline
from qa.trade.segments import Point
from qa.trade.vocabulary import EdgeKind


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """What is known of the ways out of a roof.

    Attributes:
        drains: the outlets and the drip edges whose side is known; None where there is neither.
        lost: keys of the drip edges whose side is not known: water runs off there too.
    """

    drains: Drains | None
    lost: tuple[str, ...]


def ways_out(
    outline: Outline, edges: Sequence[PlanEdge], outlets_m: Sequence[Point] = ()
) -> WaysOut:
    """Return the ways out of a roof: its outlets, and the sides that are drip edges.

    Args:
        outline: the outline.
        edges: its edges by kind and length, in the order in which they were listed.
        outlets_m: places of the outlets (x, y), m.

    >>> deck = Outline(points_m=((0, 0), (6, 0), (6, 4), (0, 4)))
    >>> eaves = PlanEdge(key="eaves", kind=EdgeKind.DRIP_EDGE, length_m=6.0)
    >>> known = ways_out(deck, [eaves])
    >>> known.drains, known.lost
    (None, ('eaves',))
    """
    placed = place_edges(outline.edge_lengths_m, edges)
    corners = (*outline.points_m, outline.points_m[0])
    draining = tuple(
        (corners[side], corners[side + 1])
        for side, kind in enumerate(placed.by_side)
        if kind is EdgeKind.DRIP_EDGE
    )
    outlets = tuple(outlets_m)
    return WaysOut(
        drains=Drains(outlets_m=outlets, edges_m=draining) if outlets or draining else None,
        lost=tuple(edge.key for edge in placed.unplaced if edge.kind is EdgeKind.DRIP_EDGE),
    )

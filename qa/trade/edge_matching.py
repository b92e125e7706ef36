"""Which named edge is which side of the outline.

People name edges with kind and length and no place. A side is given an edge only where lengths
leave no choice, or where they are listed side by side in the order of the outline.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from qa.trade.vocabulary import EdgeKind

TOLERANCE_M = 0.03
"""Greatest difference between an edge and its side: two readings of a tape. Project choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanEdge:
    """One edge as people name it.

    Attributes:
        key: its key.
        kind: what finishes it.
        length_m: its length, m.
    """

    key: str
    kind: EdgeKind
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedEdges:
    """What is known of the places of an area's edges.

    Attributes:
        by_side: for each side of the outline the kind that finishes it, or None.
        unplaced: edges whose side is not known, in the order given.
        is_by_order: whether the order given decided between sides of equal length.
    """

    by_side: tuple[EdgeKind | None, ...]
    unplaced: tuple[PlanEdge, ...]
    is_by_order: bool = False


def place_edges(
    side_lengths_m: Sequence[float],
    edges: Sequence[PlanEdge],
    *,
    tolerance_m: float = TOLERANCE_M,
) -> PlacedEdges:
    """Return which kind of edge finishes each side of an outline.

    By length: a group of edges is placed where its edges and the sides of its length are as many
    and all its edges are of one kind, for then it does not matter which is which. By order: what
    lengths leave open is placed where one edge is listed for each side, in turn, each as long as
    its side.

    Args:
        side_lengths_m: lengths of the outline's sides in order, m.
        edges: the edges in the order in which they were listed.
        tolerance_m: greatest difference between an edge and its side, m.

    >>> raised = EdgeKind.RAISED_EDGE
    >>> edges = [
    ...     PlanEdge(key="east", kind=raised, length_m=4.0),
    ...     PlanEdge(key="west", kind=raised, length_m=4.0),
    ...     PlanEdge(key="wall", kind=EdgeKind.WALL_FILLET, length_m=6.0),
    ... ]
    >>> placed = place_edges((6.0, 4.0, 6.0, 4.0), edges)
    >>> [kind and kind.value for kind in placed.by_side], [edge.key for edge in placed.unplaced]
    ([None, 'raised_edge', None, 'raised_edge'], ['wall'])
    """
    by_side: list[EdgeKind | None] = [None] * len(side_lengths_m)
    unplaced: list[PlanEdge] = []
    for edge in edges:
        sides = [
            side
            for side, length_m in enumerate(side_lengths_m)
            if _agrees(edge.length_m, length_m, tolerance_m)
        ]
        rivals = [
            other
            for other in edges
            if any(_agrees(other.length_m, side_lengths_m[side], tolerance_m) for side in sides)
        ]
        if sides and len(rivals) == len(sides) and all(other.kind is edge.kind for other in rivals):
            for side in sides:
                by_side[side] = edge.kind
        else:
            unplaced.append(edge)
    if unplaced and _follows_outline(side_lengths_m, edges, tolerance_m):
        in_order = tuple(edge.kind for edge in edges)
        return PlacedEdges(by_side=in_order, unplaced=(), is_by_order=True)
    return PlacedEdges(by_side=tuple(by_side), unplaced=tuple(unplaced))


def _agrees(edge_m: float, side_m: float, tolerance_m: float) -> bool:
    # A hair of slack: 2.03 − 2.0 is more than 0.03 in binary.
    return abs(edge_m - side_m) <= tolerance_m + 1e-9


def _follows_outline(
    side_lengths_m: Sequence[float], edges: Sequence[PlanEdge], tolerance_m: float
) -> bool:
    return len(edges) == len(side_lengths_m) and all(
        _agrees(edge.length_m, side_m, tolerance_m)
        for edge, side_m in zip(edges, side_lengths_m, strict=True)
    )

"""Edges of a roof by kind, the trims along them, and the laminate that turns up at them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, fsum

from qa.errors import DomainError
from qa.trade.domain import require_not_negative, require_positive
from qa.trade.vocabulary import EdgeKind

_ROUNDING = 1e-9
"""Share of a trim that is rounding and not edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeLength:
    """A length of edge of one kind.

    Attributes:
        kind: what finishes it.
        length_m: its length, m, above nought.

    Raises:
        DomainError: the length is not above nought.
    """

    kind: EdgeKind
    length_m: float

    def __post_init__(self) -> None:
        require_positive(f"length of a {self.kind.replace('_', ' ')}, m", self.length_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnup:
    """A strip of laminate that turns up a wall or a kerb.

    Attributes:
        length_m: along the wall, m, above nought.
        height_m: up the wall, m, above nought.

    Raises:
        DomainError: a figure lies outside its range.
    """

    length_m: float
    height_m: float

    def __post_init__(self) -> None:
        require_positive("length of an upstand, m", self.length_m)
        require_positive("height of an upstand, m", self.height_m)


def upstand_area_m2(upstands: Iterable[Turnup], *, lap_m: float = 0.0) -> float:
    """Return the area of laminate on upstands.

    area = sum of length * (height + lap).

    Args:
        upstands: the upstands.
        lap_m: how far a separate piece of mat runs onto the field, m, nought or more; 0 for the
            area that the field's laminate gains.

    Raises:
        DomainError: the lap is negative or not finite.

    Source: definition.

    >>> round(upstand_area_m2([Turnup(length_m=6.0, height_m=0.15)]), 6)
    0.9
    """
    require_not_negative("lap of an upstand onto the field, m", lap_m)
    return fsum(upstand.length_m * (upstand.height_m + lap_m) for upstand in upstands)


def length_by_kind(edges: Iterable[EdgeLength]) -> tuple[EdgeLength, ...]:
    """Return the metres of edge of each kind that there is, in the order of the kinds.

    Args:
        edges: the edges, in any order; several of one kind add.

    Source: definition.

    >>> edges = [
    ...     EdgeLength(kind=EdgeKind.WALL_FILLET, length_m=6.0),
    ...     EdgeLength(kind=EdgeKind.DRIP_EDGE, length_m=6.0),
    ...     EdgeLength(kind=EdgeKind.WALL_FILLET, length_m=1.5),
    ... ]
    >>> [(run.kind.value, run.length_m) for run in length_by_kind(edges)]
    [('drip_edge', 6.0), ('wall_fillet', 7.5)]
    """
    given = tuple(edges)
    sums = ((kind, fsum(edge.length_m for edge in given if edge.kind is kind)) for kind in EdgeKind)
    return tuple(EdgeLength(kind=kind, length_m=length_m) for kind, length_m in sums if length_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimNeed:
    """The trims for all edges of one kind.

    Attributes:
        kind: the kind of edge.
        edges: number of edges.
        length_m: metres of edge.
        trims: number of trims.
        overlaps: number of overlaps of trim over trim.
        ordered_m: metres of trim, m.
    """

    kind: EdgeKind
    edges: int
    length_m: float
    trims: int
    overlaps: int
    ordered_m: float

    @property
    def waste_pct(self) -> float:
        """What the overlaps and the ends that are cut off add, % of the edge."""
        return 100.0 * (self.ordered_m / self.length_m - 1.0)


def trims_along(length_m: float, *, trim_length_m: float, overlap_m: float) -> int:
    """Return how many trims one straight edge takes.

    Each trim after the first lies over the one before it: n trims cover n * trim - (n - 1) *
    overlap, so n = ceil((edge - overlap) / (trim - overlap)), and at least 1.

    Args:
        length_m: length of the edge, m, above nought.
        trim_length_m: length of a trim, m, above nought.
        overlap_m: trim over trim, m, nought or more, below the trim's length.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> [trims_along(metres, trim_length_m=3.0, overlap_m=0.05) for metres in (3.0, 3.01, 5.95)]
    [1, 2, 2]
    """
    require_positive("length of an edge, m", length_m)
    require_positive("length of a trim, m", trim_length_m)
    if not 0.0 <= overlap_m < trim_length_m:
        shorter = f"0 or more and below the trim's length of {trim_length_m:g}"
        raise DomainError("overlap of trims, m", overlap_m, shorter)
    return max(1, ceil((length_m - overlap_m) / (trim_length_m - overlap_m) - _ROUNDING))


def trim_needs(
    edges: Iterable[EdgeLength], *, trim_length_m: float, overlap_m: float
) -> tuple[TrimNeed, ...]:
    """Return the trims that the edges take, kind by kind.

    Every edge begins with a whole trim: ends that are cut off are not used on another edge.

    Args:
        edges: each straight edge on its own, for trims end at corners.
        trim_length_m: length of a trim, m, above nought.
        overlap_m: trim over trim, m, nought or more, below the trim's length.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition; see `trims_along`.

    >>> edges = [EdgeLength(kind=EdgeKind.DRIP_EDGE, length_m=metres) for metres in (6.0, 4.0)]
    >>> (need,) = trim_needs(edges, trim_length_m=3.0, overlap_m=0.05)
    >>> need.trims, need.overlaps, need.ordered_m, round(need.waste_pct, 9)
    (5, 3, 15.0, 50.0)
    """
    given = tuple(edges)
    needs = []
    for total in length_by_kind(given):
        trims = [
            trims_along(edge.length_m, trim_length_m=trim_length_m, overlap_m=overlap_m)
            for edge in given
            if edge.kind is total.kind
        ]
        needs.append(
            TrimNeed(
                kind=total.kind,
                edges=len(trims),
                length_m=total.length_m,
                trims=sum(trims),
                overlaps=sum(trims) - len(trims),
                ordered_m=sum(trims) * trim_length_m,
            )
        )
    return tuple(needs)

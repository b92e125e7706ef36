"""What the roof plan shows of one area."""

from __future__ import annotations

from dataclasses import dataclass

from qa.trade.edge_matching import PlanEdge
from qa.trade.outline import RoofArea
from qa.trade.segments import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanUpstand:
    """A strip of laminate that turns up a wall or kerb, m."""

    length_m: float
    height_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """Which way water runs off an area.

    Attributes:
        direction_deg: downhill, anticlockwise from the outline's x axis, degrees.
        mm_per_m: how steeply, mm per m, or None where it was not measured.
    """

    direction_deg: float
    mm_per_m: float | None = None

    @property
    def text(self) -> str:
        """The fall in words: "fall 1:60".

        >>> Fall(direction_deg=270.0, mm_per_m=16.7).text
        'fall 1:60'
        """
        return f"fall 1:{1000.0 / self.mm_per_m:.0f}" if self.mm_per_m else "fall"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanArea:
    """One area as the roof plan shows it.

    Attributes:
        name: its name, as people call it.
        roof: its outline, openings and slope.
        edges: its edges in the order of the record.
        outlets_m: places of its outlets, in the outline's coordinates, m.
        opening_names: names of its openings in order; those without one are called "opening".
        upstands: its upstands, which have no recorded place.
        fall: which way it falls, or None where that is not known.
    """

    name: str
    roof: RoofArea
    edges: tuple[PlanEdge, ...] = ()
    outlets_m: tuple[Point, ...] = ()
    opening_names: tuple[str, ...] = ()
    upstands: tuple[PlanUpstand, ...] = ()
    fall: Fall | None = None

"""How much mat a roof area takes: strips with their overlaps, and what is cut off."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, fsum

from qa.trade.domain import require_positive
from qa.trade.outline import RoofArea
from qa.trade.strips import ROUNDING, lay_out_strips


@dataclass(frozen=True, slots=True, kw_only=True)
class MatNeed:
    """The mat for one layer on a roof area.

    Attributes:
        strips: number of strips.
        pieces: number of pieces: a strip that the outline parts is laid in several.
        joins: joins along a strip, where a roll ends.
        length_m: length of mat off the roll, m.
        area_m2: area of mat off the roll, m².
        overlap_m2: area that lies doubled where strips and joins overlap, m².
        net_m2: area that is laid, m².
    """

    strips: int
    pieces: int
    joins: int
    length_m: float
    area_m2: float
    overlap_m2: float
    net_m2: float

    @property
    def waste_pct(self) -> float:
        """What overlaps and offcuts add, % of the area laid."""
        return 100.0 * (self.area_m2 / self.net_m2 - 1.0)


def mat_need(
    roof: RoofArea,
    *,
    mat_width_m: float,
    mat_overlap_m: float,
    roll_m: float | None = None,
    angle_deg: float = 0.0,
) -> MatNeed:
    """Return the mat for one layer on a roof area.

    The length is that of all runs of all strips, on the slope, and one overlap for each roll
    after the first, whose beginning is joined to the end of the one before. The last strip takes
    a whole width, and what lies over an opening is cut out and lost.

    Args:
        roof: the area; its outline is in plan.
        mat_width_m: width of the mat, m, above nought.
        mat_overlap_m: overlap of neighbouring strips and of joins, m, nought or more, below the
            width.
        roll_m: length of a roll, m, above nought; None where rolls have no end that matters.
        angle_deg: angle from x to the strips, degrees, -180 to 180.

    Raises:
        DomainError: a figure lies outside its range.

    Source: geometry; the layout is common practice, no source.

    >>> from qa.trade.outline import Outline
    >>> roof = RoofArea(outline=Outline(points_m=((0, 0), (6, 0), (6, 3.85), (0, 3.85))))
    >>> need = mat_need(roof, mat_width_m=1.0, mat_overlap_m=0.05)
    >>> need.strips, need.length_m, need.area_m2, round(need.waste_pct, 3)
    (4, 24.0, 24.0, 3.896)
    >>> round(need.overlap_m2, 6)
    0.9
    """
    strips = lay_out_strips(roof, width_m=mat_width_m, overlap_m=mat_overlap_m, angle_deg=angle_deg)
    length_m = fsum(strip.length_m for strip in strips) * roof.slope_factor
    joins = 0
    if roll_m is not None:
        require_positive("length of a roll of mat, m", roll_m)
        joins = max(0, ceil(length_m / roll_m - ROUNDING) - 1)
    length_m += joins * mat_overlap_m
    beside_m = fsum(strip.length_m for strip in strips[1:]) * roof.slope_factor
    return MatNeed(
        strips=len(strips),
        pieces=sum(len(strip.runs) for strip in strips),
        joins=joins,
        length_m=length_m,
        area_m2=length_m * mat_width_m,
        overlap_m2=(beside_m + joins * mat_width_m) * mat_overlap_m,
        net_m2=roof.net_area_m2,
    )

"""All that surveyed levels say of one roof: its fall, where it is flat, and where water stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from qa.errors import DomainError
from qa.trade.conformity import RELATIVE_NOISE
from qa.trade.drainage import LEAST_FALL_MM_PER_M, back_fall_m2, local_falls, share_below
from qa.trade.falls import PlaneFall, plane_fall
from qa.trade.hollow import Hollow
from qa.trade.outline import RoofArea
from qa.trade.ponding import Flood, flood
from qa.trade.surface import Surface, surface_over
from qa.trade.survey import Level
from qa.trade.ways_out import WaysOut


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelStudy:
    """What the levels of one roof say.

    Attributes:
        plane: the least-squares plane through the levels.
        is_plane_below: whether its fall is below the limit.
        surface: the roof's top in flat triangles.
        share_below: share of the surveyed area that falls less than the limit, 0 to 1.
        ways: where the water can leave, as far as that is known.
        back_fall_m2: area that drains away from every known way out by more than the levels'
            uncertainty, m²; None where no way out is known.
        doubtful_m2: further area that seems to drain away, but by no more than that, m²; None
            likewise.
        flood: the roof after rain without end; None where no way out is known, or where `stuck`
            says why not.
        stuck: why the flood could not be reckoned though a way out is known, or nothing.
    """

    plane: PlaneFall
    is_plane_below: bool
    surface: Surface
    share_below: float
    ways: WaysOut
    back_fall_m2: float | None
    doubtful_m2: float | None
    flood: Flood | None
    stuck: str = ""

    @property
    def is_one_plane(self) -> bool:
        """Whether the plane stands on the same side of the limit as most of the roof.

        A roof that falls from two sides to a valley has pieces that fall as they should and a plane
        that is level: its fall then answers nothing.
        """
        return self.is_plane_below == (self.share_below > 0.5)

    @property
    def hollows(self) -> tuple[Hollow, ...] | None:
        """What cannot drain, the deepest first; None where there is no flood."""
        return None if self.flood is None else self.flood.hollows


def study_levels(
    levels_m: Sequence[Level],
    roof: RoofArea,
    ways: WaysOut,
    *,
    least_mm_per_m: float = LEAST_FALL_MM_PER_M,
    level_uncertainty_mm: float = 0.0,
) -> LevelStudy:
    """Return what surveyed levels say of a roof.

    Args:
        levels_m: three levels (x, y, z) or more, m.
        roof: the area in plan, with its openings.
        ways: where the water can leave.
        least_mm_per_m: the least fall that is asked for, mm/m.
        level_uncertainty_mm: expanded uncertainty of one level, k = 2, mm.

    Raises:
        DomainError: the levels make no plane or no surface on the roof.

    >>> from qa.trade.drainage import Drains
    >>> from qa.trade.outline import Outline
    >>> deck = RoofArea(outline=Outline(points_m=((0, 0), (4, 0), (4, 3), (0, 3))))
    >>> levels = [(0, 0, 0.0), (4, 0, 0.1), (4, 3, 0.1), (0, 3, 0.0), (2, 1.5, 0.02)]
    >>> gutter = WaysOut(drains=Drains(edges_m=(((0, 3), (0, 0)),)), lost=())
    >>> found = study_levels(levels, deck, gutter)
    >>> round(found.plane.fall_mm_per_m, 9), round(found.share_below, 3), found.hollows
    (25.0, 0.25, ())
    """
    plane = plane_fall(levels_m)
    surface = surface_over(levels_m, roof)
    back = doubtful = flooded = None
    stuck = ""
    if ways.drains is not None:
        back = back_fall_m2(surface, ways.drains, level_uncertainty_mm=level_uncertainty_mm)
        doubtful = back_fall_m2(surface, ways.drains) - back
        try:
            flooded = flood(surface, ways.drains)
        except DomainError as refused:
            stuck = str(refused)
    return LevelStudy(
        plane=plane,
        is_plane_below=plane.fall_mm_per_m < least_mm_per_m * (1.0 - RELATIVE_NOISE),
        surface=surface,
        share_below=share_below(local_falls(surface), least_mm_per_m=least_mm_per_m),
        ways=ways,
        back_fall_m2=back,
        doubtful_m2=doubtful,
        flood=flooded,
        stuck=stuck,
    )

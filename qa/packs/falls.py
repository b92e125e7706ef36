"""Surveyed levels as the packs draw and tabulate them."""

from __future__ import annotations

from markupsafe import Markup

from qa.assess.frame import LaidArea
from qa.assess.levels import plan_edges
from qa.packs.drawing.falls_plan import FallsPlan, FallsPlanArea, draw_falls_plan
from qa.packs.drawing.plan_area import Fall
from qa.packs.drawing.scales import round_step
from qa.packs.source import PackSource
from qa.trade.contours import contours
from qa.trade.level_study import LevelStudy
from qa.trade.surface import Surface
from qa.trade.wet_area import wet_pieces

_MOST_LINES = 10
"""Contours over the whole height of a roof, at most; the step is the round one above."""

_LEAST_STEP_MM = 1.0


def falls_plan(source: PackSource, *, height_mm: float) -> Markup | None:
    """The falls plan of all surveyed areas; None where no area's levels can be used.

    Args:
        source: what the pack is made from.
        height_mm: height that the plans may take, mm; scale bar, key and notes come below.
    """
    areas = tuple(
        _plan_area(source.frame.areas[key], studied.study)
        for key, studied in source.studies.items()
        if studied.study is not None
    )
    return draw_falls_plan(FallsPlan(areas=areas, height_mm=height_mm)) if areas else None


def fall_of(study: LevelStudy | None) -> Fall | None:
    """Which way an area falls, where its levels tell it as one plane."""
    if study is None or study.plane.direction_deg is None or not study.is_one_plane:
        return None
    plane = study.plane
    return Fall(direction_deg=study.plane.direction_deg, mm_per_m=plane.fall_mm_per_m)


def contour_step_mm(surface: Surface) -> float:
    """A round step that gives a picture some lines and not too many, mm."""
    heights = [surface.levels_m[corner][2] for triangle in surface.triangles for corner in triangle]
    spread_mm = (max(heights) - min(heights)) * 1000.0
    return round_step(max(spread_mm / _MOST_LINES, _LEAST_STEP_MM))


def _plan_area(area: LaidArea, study: LevelStudy) -> FallsPlanArea:
    step_mm = contour_step_mm(study.surface)
    water = study.flood
    return FallsPlanArea(
        name=area.body.name,
        roof=area.roof,
        edges=plan_edges(area.body.edges),
        outlets_m=area.body.outlets_m or (),
        surveyed_m=tuple((x, y) for x, y, _ in area.body.levels_m or ()),
        contours=contours(study.surface, step_mm),
        step_mm=step_mm,
        hollows=water.hollows if water is not None else (),
        pools_m=wet_pieces(study.surface, water.water_m) if water is not None else (),
        fall=fall_of(study),
    )

"""Falls and hollows in words, and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from qa.services.surveying import AreaFalls
from qa.trade.falls import PlaneFall, one_in
from qa.trade.hollow import Hollow
from qa.trade.level_study import LevelStudy
from qa.trade.notation import number_text, quantity_text
from qa.trade.ponding import Flood
from qa.trade.segments import Point

MOST_SHOWN = 10
"""Hollows that the text lists; JSON has all."""


def falls_text(found: Sequence[AreaFalls]) -> str:
    """The falls of each area, in words."""
    return "\n\n".join("\n".join(_lines(area)) for area in found) + "\n"


def _lines(found: AreaFalls) -> Iterator[str]:
    area, study = found.area, found.study
    surveyed = quantity_text(round(study.surface.covered_m2, 2), "m2")
    yield f"{area.name}: {len(area.levels_m)} levels over {surveyed}"
    if study.surface.not_surveyed_m2 > 0.005:
        beyond = quantity_text(round(study.surface.not_surveyed_m2, 2), "m2")
        yield f"           {beyond} of the roof lie beyond the levels; nothing is said of them"
    yield f"Fall       {_plane_text(study.plane)}"
    least = quantity_text(found.check.limits.lower or 0.0, found.check.unit)
    verdict = found.verdict.value.replace("_", " ")
    yield f"Verdict    {verdict}; at least {least} ({found.check.basis.value})"
    share = number_text(round(100.0 * study.share_below, 1), 3)
    yield f"Below it   {share} % of the surveyed area"
    if not study.is_one_plane:
        yield "           its pieces contradict the plane: the roof does not fall as one"
    yield from _water_lines(study)
    if area.remark:
        yield area.remark
    if study.plane.standard_uncertainty_mm_per_m is not None:
        yield "± is the expanded uncertainty (k = 2), from the scatter about the plane."


def _water_lines(study: LevelStudy) -> Iterator[str]:
    if study.back_fall_m2 is None:
        yield "Ponding    not answered: neither an outlet nor a drip edge is known; give --outlet"
        return
    back = quantity_text(round(study.back_fall_m2, 2), "m2")
    yield f"Back-fall  {back} drain away from every way out"
    if study.doubtful_m2:
        doubtful = quantity_text(round(study.doubtful_m2, 2), "m2")
        yield f"           {doubtful} more may, by no more than the levels' uncertainty can feign"
    if study.flood is None:
        yield f"Hollows    not answered: {study.stuck}"
    else:
        yield from _hollow_lines(study.flood)


def _plane_text(plane: PlaneFall) -> str:
    fall = quantity_text(round(plane.fall_mm_per_m, 2), "mm/m")
    if plane.direction_deg is None:
        return f"{fall}: level"
    ratio = f"1:{one_in(plane.fall_mm_per_m):.0f}"
    u = plane.expanded_uncertainty_mm_per_m
    spread = "" if u is None else f" ± {number_text(round(u, 2), 3)}"
    return f"{fall}{spread} ({ratio}), towards {plane.direction_deg:.0f}° from +x, anticlockwise"


def _hollow_lines(water: Flood) -> Iterator[str]:
    hollows = water.hollows
    if not hollows:
        yield "Hollows    none: all water can run off"
        return
    volume = quantity_text(round(water.volume_l, 1), "l")
    area = quantity_text(round(water.area_m2, 2), "m2")
    yield f"Hollows    {len(hollows)}, {volume} on {area} after long rain"
    for hollow in hollows[:MOST_SHOWN]:
        yield (
            f"  {quantity_text(round(hollow.deepest_mm, 1), 'mm')} deep at "
            f"{_place(hollow.lowest_m)}, {quantity_text(round(hollow.area_m2, 2), 'm2')}, "
            f"{quantity_text(round(hollow.volume_l, 1), 'l')}; spills at {_place(hollow.spill_m)}"
        )
    if len(hollows) > MOST_SHOWN:
        yield f"  and {len(hollows) - MOST_SHOWN} shallower"


def _place(point_m: Point) -> str:
    return f"({point_m[0]:.2f}, {point_m[1]:.2f}) m"


def falls_json(found: Sequence[AreaFalls]) -> str:
    """The falls of each area, as JSON."""
    answer = {"areas": [_area(area) for area in found]}
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"


def _area(found: AreaFalls) -> dict[str, Any]:
    study, plane = found.study, found.study.plane
    return {
        "area": found.area.name,
        "levels": len(found.area.levels_m),
        "fall_mm_per_m": plane.fall_mm_per_m,
        "direction_deg": plane.direction_deg,
        "expanded_uncertainty_mm_per_m": plane.expanded_uncertainty_mm_per_m,
        "lower_mm_per_m": found.check.limits.lower,
        "verdict": found.verdict.value,
        "basis": found.check.basis.value,
        "source": found.check.source,
        "is_one_plane": study.is_one_plane,
        "share_below": study.share_below,
        "surveyed_m2": study.surface.covered_m2,
        "not_surveyed_m2": study.surface.not_surveyed_m2,
        "back_fall_m2": study.back_fall_m2,
        "doubtful_back_fall_m2": study.doubtful_m2,
        "hollows": None if study.hollows is None else [_hollow(one) for one in study.hollows],
        "remark": found.area.remark or None,
    }


def _hollow(hollow: Hollow) -> dict[str, Any]:
    return {
        "deepest_mm": hollow.deepest_mm,
        "area_m2": hollow.area_m2,
        "volume_l": hollow.volume_l,
        "lowest_m": list(hollow.lowest_m),
        "spill_m": list(hollow.spill_m),
    }

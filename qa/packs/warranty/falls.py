"""Falls and hollows from surveyed levels: the contour plan and its figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.levels import FALL
from qa.packs.falls import falls_plan
from qa.packs.source import PackSource
from qa.packs.warranty.found import NOTHING
from qa.trade.falls import one_in
from qa.trade.hollow import Hollow
from qa.trade.level_study import LevelStudy
from qa.trade.notation import number_text, quantity_text
from qa.trade.segments import Point

_PLAN_MM = 90.0
_MOST_HOLLOWS = 25
"""Hollows listed for an area, the deepest first; the rest are counted."""

_ONE_PLACE = 0.05
_WAYS = (
    "to the right",
    "up and right",
    "up",
    "up and left",
    "to the left",
    "down and left",
    "down",
    "down and right",
)
"""Directions on the plan, an eighth of a turn each, from the x axis on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FallRow:
    """What the levels of one area say."""

    area: str
    levels: int
    fall: str
    ratio: str
    direction: str
    below: str
    back_fall: str
    doubtful: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HollowRow:
    """One hollow that cannot drain."""

    area: str
    place: str
    depth: str
    extent: str
    volume: str
    spill: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Falls:
    """What the section shows.

    Attributes:
        plan: None where no levels can be drawn.
        least: the least fall that is asked for, with its unit.
        level_uncertainty: expanded uncertainty of one level, with its unit.
        remarks: what was left out or could not be reckoned, a sentence each.
    """

    plan: Markup | None
    least: str
    level_uncertainty: str
    rows: tuple[FallRow, ...]
    hollows: tuple[HollowRow, ...]
    remarks: tuple[str, ...]


def falls(source: PackSource) -> Falls | None:
    """Falls and hollows of all areas that have levels; None where none has."""
    if not source.studies:
        return None
    named = [
        (source.frame.areas[key].body.name, each.study)
        for key, each in source.studies.items()
        if each.study is not None
    ]
    known = source.specification.uncertainty.level_mm
    return Falls(
        plan=falls_plan(source, height_mm=_PLAN_MM),
        least=quantity_text(source.specification.checks[FALL].limits.lower or 0.0, "mm/m"),
        level_uncertainty=quantity_text(known.value, known.unit),
        rows=tuple(_fall_row(name, study) for name, study in named),
        hollows=tuple(
            _hollow_row(name, hollow)
            for name, study in named
            for hollow in (study.hollows or ())[:_MOST_HOLLOWS]
        ),
        remarks=tuple(_remarks(source)),
    )


def _fall_row(name: str, study: LevelStudy) -> FallRow:
    plane = study.plane
    return FallRow(
        area=name,
        levels=study.surface.surveyed,
        fall=_spread_text(plane.fall_mm_per_m, plane.expanded_uncertainty_mm_per_m),
        ratio=NOTHING if plane.direction_deg is None else f"1:{one_in(plane.fall_mm_per_m):.0f}",
        direction=direction_text(plane.direction_deg),
        below=f"{number_text(100.0 * study.share_below, 2)} %",
        back_fall=_area_text(study.back_fall_m2),
        doubtful=_area_text(study.doubtful_m2),
    )


def _spread_text(fall: float, known: float | None) -> str:
    """A fall with its uncertainty to one place, or to two where that would show none."""
    if known is None:
        return f"{fall:.1f} mm per m"
    places = 1 if known >= _ONE_PLACE else 2
    return f"{fall:.{places}f} ± {known:.{places}f} mm per m"


def direction_text(direction_deg: float | None) -> str:
    """A direction in degrees, and as it runs on the plan.

    >>> direction_text(270.4), direction_text(359.0), direction_text(None)
    ('270°, down', '359°, to the right', 'level')
    """
    if direction_deg is None:
        return "level"
    return f"{direction_deg:.0f}°, {_WAYS[round(direction_deg / 45.0) % len(_WAYS)]}"


def _area_text(area_m2: float | None) -> str:
    return NOTHING if area_m2 is None else f"{area_m2:.2f} m²"


def _hollow_row(name: str, hollow: Hollow) -> HollowRow:
    return HollowRow(
        area=name,
        place=_place_text(hollow.lowest_m),
        depth=quantity_text(hollow.deepest_mm, "mm", 2),
        extent=f"{hollow.area_m2:.2f} m²",
        volume=quantity_text(hollow.volume_l, "l", 2),
        spill=_place_text(hollow.spill_m),
    )


def _place_text(point_m: Point) -> str:
    return f"{point_m[0]:.2f}, {point_m[1]:.2f} m"


def _remarks(source: PackSource) -> Iterator[str]:
    for key, each in source.studies.items():
        name = source.frame.areas[key].body.name
        if each.study is None:
            yield f"{name}: {each.refused}"
        else:
            yield from (f"{name}: {sentence}" for sentence in _of_study(each.study))


def _of_study(study: LevelStudy) -> Iterator[str]:
    if not study.is_one_plane:
        yield "its pieces contradict the plane; the roof does not fall as one."
    beyond_m2 = study.surface.not_surveyed_m2
    if round(beyond_m2, 2):
        yield f"{beyond_m2:.2f} m² of the roof lie beyond the levels; nothing is said of them."
    if study.ways.lost:
        lost = ", ".join(study.ways.lost)
        yield f"which side the drip edge {lost} is, the record does not tell."
    if study.stuck:
        yield f"hollows are not reckoned: {study.stuck}"
    elif study.hollows is None:
        yield "no outlet and no drip edge whose side is known, so nothing is said of water."
    elif not study.hollows:
        yield "all water can run off."
    elif len(study.hollows) > _MOST_HOLLOWS:
        yield f"{len(study.hollows) - _MOST_HOLLOWS} shallower hollows are not listed."

"""Where rain can stand by the surveyed levels, in a sentence, and on a plan where it matters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from qa.packs.falls import falls_plan
from qa.packs.source import PackSource
from qa.trade.conformity import RELATIVE_NOISE
from qa.trade.level_study import LevelStudy
from qa.trade.notation import number_text
from qa.trade.ponding import Flood

_PLAN_MM = 55.0
_SMALL_M2 = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingWater:
    """What the survey's story tells of water that cannot drain.

    Attributes:
        sentences: one for each area on which some can stand.
        plan: None where no hollow is deeper than the levels are known, and nothing runs back.
    """

    sentences: tuple[str, ...]
    plan: Markup | None


def standing_water(source: PackSource) -> StandingWater | None:
    """Where rain can stand; None where the levels tell of no such place, or there are none."""
    sentences = tuple(_sentences(source))
    studies = [each.study for each in source.studies.values() if each.study is not None]
    known_mm = source.specification.uncertainty.level_mm.value * (1.0 + RELATIVE_NOISE)
    matters = any(_matters(study, known_mm) for study in studies)
    if not sentences and not matters:
        return None
    plan = falls_plan(source, height_mm=_PLAN_MM) if matters else None
    return StandingWater(sentences=sentences, plan=plan)


def _sentences(source: PackSource) -> Iterator[str]:
    for key, each in source.studies.items():
        water = each.study.flood if each.study is not None else None
        if water is not None and water.hollows:
            yield _sentence(source.frame.areas[key].body.name, water)


def _sentence(name: str, water: Flood) -> str:
    """What stands on one area, in the figures of a person who looks at a puddle."""
    deepest = water.hollows[0].deepest_mm
    area = f"about {number_text(water.area_m2, 1)} m²"
    if water.area_m2 < _SMALL_M2:
        area = f"less than {number_text(_SMALL_M2)} m²"
    return (
        f"The levels that were taken show a low place: rain can stand on {area} of “{name}”, at "
        f"most {number_text(deepest, 1)} mm deep, until it dries."
    )


def _matters(study: LevelStudy, known_mm: float) -> bool:
    """Whether something cannot drain that is more than the levels' uncertainty can feign."""
    return bool(study.back_fall_m2) or any(
        hollow.deepest_mm > known_mm for hollow in study.hollows or ()
    )

"""What the surveyed levels of an area say of its fall and of what drains away.

- The fall is that of the least-squares plane, its uncertainty (k = 2) from the levels' scatter
  about it. Where plane and pieces contradict each other, as on a roof that falls to a valley, one
  plane answers nothing and the fall is undecided.
- The back-fall is the area that drains away from every outlet and drip edge by more than the
  levels' uncertainty can feign. Under the guarded rule, an area that they may be feigning leaves it
  undecided. A drip edge whose side is not known could only lessen it, so none is none, and some is
  undecided.
- Hollows have no limit: how deep and how wide they are is told beside the back-fall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.assess.frame import Frame, LaidArea
from qa.errors import DomainError
from qa.record.kinds.place import Edge
from qa.trade.conformity import DecisionRule, Verdict, judge
from qa.trade.edge_matching import PlanEdge
from qa.trade.notation import number_text, quantity_text

if TYPE_CHECKING:
    from qa.trade.hollow import Hollow
    from qa.trade.level_study import LevelStudy

FALL, BACK_FALL = "survey.fall", "survey.back_fall"

_MOST_TOLD = 5
"""Hollows told one by one in a remark; the packs list them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StudiedArea:
    """What an area's levels say, or why they say nothing.

    Attributes:
        study: what they say; None where they cannot be used.
        refused: why they cannot be used, a sentence; or nothing.
    """

    study: LevelStudy | None
    refused: str = ""


def plan_edges(edges: Sequence[Edge]) -> tuple[PlanEdge, ...]:
    """The edges of a record as the trade places them along an outline."""
    return tuple(PlanEdge(key=edge.edge, kind=edge.kind, length_m=edge.length_m) for edge in edges)


def study_area(frame: Frame, area: LaidArea) -> StudiedArea | None:
    """What an area's levels say; None where it has none."""
    body = area.body
    if not body.levels_m:
        return None
    # Few areas have levels: the geometry of surfaces is loaded for those alone.
    from qa.trade.level_study import study_levels  # noqa: PLC0415
    from qa.trade.ways_out import ways_out  # noqa: PLC0415

    try:
        study = study_levels(
            body.levels_m,
            area.roof,
            ways_out(area.roof.outline, plan_edges(body.edges), body.outlets_m or ()),
            least_mm_per_m=frame.specification.checks[FALL].limits.lower or 0.0,
            level_uncertainty_mm=frame.specification.uncertainty.level_mm.value,
        )
    except DomainError as refused:
        return StudiedArea(study=None, refused=f"The levels cannot be used: {refused}")
    return StudiedArea(study=study)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the levels of one area say of one check.

    Attributes:
        value: in the check's unit; None where they do not answer it.
        verdict: where given, it stands; else it follows from the value.
        remark: how the value was found; where there is none, why not.
    """

    value: float | None = None
    expanded_uncertainty: float | None = None
    verdict: Verdict | None = None
    remark: str


def fall_told(frame: Frame, area: StudiedArea) -> Told:
    """What the levels of an area say of its fall."""
    study = area.study
    if study is None:
        return Told(remark=area.refused)
    plane = study.plane
    known = plane.expanded_uncertainty_mm_per_m
    least = quantity_text(frame.specification.checks[FALL].limits.lower or 0.0, "mm/m")
    return Told(
        value=plane.fall_mm_per_m,
        expanded_uncertainty=known,
        verdict=None if study.is_one_plane else Verdict.UNDECIDED,
        remark=_sentences(
            f"From the plane through {len(plane.residuals_mm)} levels{_direction_text(study)}.",
            "Three levels leave no scatter to tell its uncertainty from." if known is None else "",
            f"{number_text(100.0 * study.share_below, 2)} % of the surveyed area falls less than "
            f"{least}.",
            _beyond_text(study),
            ""
            if study.is_one_plane
            else "Its pieces contradict the plane: the roof does not fall as one.",
        ),
    )


def back_fall_told(frame: Frame, area: StudiedArea) -> Told:
    """What the levels of an area say of what drains away from every way out."""
    study = area.study
    if study is None:
        return Told(remark=area.refused)
    lost = _lost_text(study)
    if study.back_fall_m2 is None:
        return Told(
            remark=_sentences(
                "Levels are recorded, but no outlet and no drip edge whose side is known, so "
                "nothing is reckoned from them.",
                lost,
            )
        )
    return Told(
        value=study.back_fall_m2,
        verdict=_back_fall_verdict(frame, study, study.back_fall_m2),
        remark=_sentences(
            f"From {study.surface.surveyed} levels.",
            _doubt_text(frame, study),
            _hollows_text(study),
            lost,
            _beyond_text(study),
        ),
    )


def _back_fall_verdict(frame: Frame, study: LevelStudy, sure_m2: float) -> Verdict:
    """The verdict on an area that counts nothing which the levels' uncertainty can feign."""
    limits, rule = frame.specification.checks[BACK_FALL].limits, frame.specification.rule
    sure, at_most = (
        judge(area_m2, limits=limits, expanded_uncertainty=0.0, rule=rule)
        for area_m2 in (sure_m2, sure_m2 + (study.doubtful_m2 or 0.0))
    )
    is_guarded_off = rule is DecisionRule.GUARDED and sure is not at_most
    is_perhaps_less = sure is Verdict.OUTSIDE and bool(study.ways.lost)
    return Verdict.UNDECIDED if is_guarded_off or is_perhaps_less else sure


def _sentences(*told: str) -> str:
    return " ".join(filter(None, told))


def _direction_text(study: LevelStudy) -> str:
    direction = study.plane.direction_deg
    if direction is None:
        return ", which is level"
    return f", which falls towards {direction:.0f}° from +x, anticlockwise"


def _beyond_text(study: LevelStudy) -> str:
    """How much of the roof the levels leave out, to the hundredth of a square metre."""
    beyond_m2 = round(study.surface.not_surveyed_m2, 2)
    return (
        f"{quantity_text(beyond_m2, 'm2')} of the roof lie beyond the levels." if beyond_m2 else ""
    )


def _lost_text(study: LevelStudy) -> str:
    lost = study.ways.lost
    if not lost:
        return ""
    return f"Which side the drip edge {', '.join(lost)} is, the record does not tell."


def _doubt_text(frame: Frame, study: LevelStudy) -> str:
    if not study.doubtful_m2:
        return ""
    known = quantity_text(frame.specification.uncertainty.level_mm.value, "mm")
    return (
        f"Another {quantity_text(study.doubtful_m2, 'm2', 2)} seem to drain away, by no "
        f"more than levels known to ± {known} (k = 2) can feign."
    )


def _hollows_text(study: LevelStudy) -> str:
    """What cannot drain, hollow by hollow, in a sentence."""
    if study.stuck:
        return f"Hollows are not reckoned: {study.stuck}"
    if not study.hollows:
        return "All water can run off." if study.hollows is not None else ""
    told = "; ".join(_hollow_text(hollow) for hollow in study.hollows[:_MOST_TOLD])
    more = len(study.hollows) - _MOST_TOLD
    return f"Cannot drain: {told}{f'; and {more} shallower' if more > 0 else ''}."


def _hollow_text(hollow: Hollow) -> str:
    x, y = hollow.lowest_m
    return (
        f"{quantity_text(hollow.deepest_mm, 'mm', 2)} deep at ({x:.2f}, {y:.2f}) m, "
        f"{quantity_text(hollow.area_m2, 'm2', 2)}, {quantity_text(hollow.volume_l, 'l', 2)}"
    )

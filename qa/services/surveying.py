"""What surveyed levels say of a roof: its fall, where it is flat, and where water would stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from qa.errors import Problem, RecordError, UsageError
from qa.record.area_list import parse_area_list
from qa.record.folder import read_folder
from qa.record.job import fold
from qa.record.kinds.place import Area
from qa.record.level_list import Level, parse_levels
from qa.services.loading import GENERAL, named_specification
from qa.services.reading_files import read_text
from qa.specification.model import Check, Specification
from qa.trade.conformity import Verdict, judge
from qa.trade.drainage import Drains, back_fall_m2, local_falls, share_below
from qa.trade.edge_matching import PlanEdge, place_edges
from qa.trade.falls import PlaneFall, plane_fall
from qa.trade.hull import hull_m
from qa.trade.outline import Outline, RoofArea
from qa.trade.ponding import Flood, flood
from qa.trade.segments import Point
from qa.trade.surface import surface_over
from qa.trade.vocabulary import EdgeKind

FALL = "survey.fall"


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyedArea:
    """One area with its levels.

    Attributes:
        name: how people call it.
        roof: outline and openings.
        levels_m: the levels, m.
        outlets_m: the outlets, m.
        draining_m: edges over which water runs off, m.
        remark: what a reader must know of how outline and drains were found, or nothing.
    """

    name: str
    roof: RoofArea
    levels_m: tuple[Level, ...]
    outlets_m: tuple[Point, ...]
    draining_m: tuple[tuple[Point, Point], ...] = ()
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaFalls:
    """What the levels of one area say.

    Attributes:
        area: the area.
        plane: the least-squares plane.
        check: the check of the fall, with its limit, basis and source.
        verdict: on the plane's fall, by the specification's rule.
        share_below: share of the surveyed area that falls less than the limit.
        surveyed_m2: area that the levels cover, in plan, m².
        not_surveyed_m2: area of the roof beyond the levels, m².
        back_fall_m2: area that drains away from every way out, m²; None where none is known.
        flood: standing water after long rain; None where no way out is known.
    """

    area: SurveyedArea
    plane: PlaneFall
    check: Check
    verdict: Verdict
    share_below: float
    surveyed_m2: float
    not_surveyed_m2: float
    back_fall_m2: float | None
    flood: Flood | None


def survey_falls(
    path: Path,
    *,
    only: str | None = None,
    outlets_m: tuple[Point, ...] = (),
    specification: Path | None = None,
) -> tuple[AreaFalls, ...]:
    """Reckons falls and hollows from levels.

    Args:
        path: a job folder, a TOML or JSON file of areas with `levels_m`, or a CSV file of levels,
            whose outline is then the hull round them.
        only: key of the one area that is asked for; None for all that have levels.
        outlets_m: outlets besides those that the areas name.
        specification: file of the specification; None for the job's own or the general one.

    Raises:
        LaidtrueError: the path or the specification cannot be used, no area has levels, or the
            levels make no surface.
    """
    pinned, areas = _areas(path, only)
    _, loaded = named_specification(pinned, specification)
    return tuple(_falls(area, outlets_m, loaded) for area in areas)


def _falls(
    area: SurveyedArea, outlets_m: tuple[Point, ...], specification: Specification
) -> AreaFalls:
    check = specification.checks[FALL]
    plane = plane_fall(area.levels_m)
    surface = surface_over(area.levels_m, area.roof)
    outlets = (*area.outlets_m, *outlets_m)
    drains = (
        Drains(outlets_m=outlets, edges_m=area.draining_m) if outlets or area.draining_m else None
    )
    return AreaFalls(
        area=area,
        plane=plane,
        check=check,
        verdict=judge(
            plane.fall_mm_per_m,
            limits=check.limits,
            expanded_uncertainty=plane.expanded_uncertainty_mm_per_m,
            rule=specification.rule,
        ),
        share_below=share_below(local_falls(surface), least_mm_per_m=check.limits.lower or 0.0),
        surveyed_m2=surface.covered_m2,
        not_surveyed_m2=surface.not_surveyed_m2,
        back_fall_m2=None if drains is None else back_fall_m2(surface, drains),
        flood=None if drains is None else flood(surface, drains),
    )


def _areas(path: Path, only: str | None) -> tuple[str, tuple[SurveyedArea, ...]]:
    """The specification's name and the areas that have levels."""
    if not path.is_dir() and path.suffix.lower() not in (".toml", ".json"):
        if only is not None:
            raise UsageError(f"{path} is a list of levels and has no areas; leave --area out.")
        return GENERAL, (_of_levels(path),)
    if path.is_dir():
        job = fold(read_folder(path).record)
        pinned, bodies = job.opening.body.specification, [area.body for area in job.areas]
    else:
        listed = parse_area_list(read_text(path), file=path.name)
        pinned, bodies = listed.specification or GENERAL, list(listed.area)
    areas = tuple(_surveyed(bodies, only))
    if not areas:
        wanted = "no area has levels" if only is None else f"no area “{only}” has levels"
        sentence = f"{wanted}; give its levels_m as [[x, y, z], …] in metres."
        raise RecordError((Problem(place=str(path), sentence=sentence),))
    return pinned, areas


def _surveyed(bodies: list[Area], only: str | None) -> Iterator[SurveyedArea]:
    for body in bodies:
        if body.levels_m and only in (None, body.area):
            draining, remark = _draining(body)
            yield SurveyedArea(
                name=body.name,
                roof=body.roof,
                levels_m=body.levels_m,
                outlets_m=body.outlets_m or (),
                draining_m=draining,
                remark=remark,
            )


def _draining(body: Area) -> tuple[tuple[tuple[Point, Point], ...], str]:
    """The sides of the outline that are drip edges, as far as the record tells which they are."""
    edges = [PlanEdge(key=edge.edge, kind=edge.kind, length_m=edge.length_m) for edge in body.edges]
    placed = place_edges(body.roof.outline.edge_lengths_m, edges)
    corners = body.roof.outline.points_m
    draining = tuple(
        (corners[side], corners[(side + 1) % len(corners)])
        for side, kind in enumerate(placed.by_side)
        if kind is EdgeKind.DRIP_EDGE
    )
    lost = [edge.key for edge in placed.unplaced if edge.kind is EdgeKind.DRIP_EDGE]
    if not lost:
        return draining, ""
    return draining, f"Which side the drip edge {', '.join(lost)} is, the record does not tell."


def _of_levels(path: Path) -> SurveyedArea:
    levels = parse_levels(read_text(path), file=path.name)
    outline = Outline(points_m=hull_m((x, y) for x, y, _ in levels))
    return SurveyedArea(
        name=path.stem,
        roof=RoofArea(outline=outline),
        levels_m=levels,
        outlets_m=(),
        remark="The outline is the hull round the levels.",
    )

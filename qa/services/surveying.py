"""What surveyed levels say of a roof: its fall, where it is flat, and where water would stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from qa.assess.levels import FALL, plan_edges
from qa.errors import Problem, RecordError, UsageError
from qa.record.area_list import parse_area_list
from qa.record.folder import JobFolder, read_folder
from qa.record.job import fold
from qa.record.kinds.place import Area
from qa.record.level_list import Level, parse_levels
from qa.services.carried import folder_specification
from qa.services.loading import GENERAL
from qa.services.reading_files import read_text
from qa.specification.model import Check, Specification
from qa.trade.conformity import Verdict, judge
from qa.trade.hull import hull_m
from qa.trade.level_study import LevelStudy, study_levels
from qa.trade.outline import Outline, RoofArea
from qa.trade.segments import Point
from qa.trade.ways_out import WaysOut, ways_out


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyedArea:
    """One area with its levels.

    Attributes:
        name: how people call it.
        roof: outline and openings.
        levels_m: the levels, m.
        ways: where its water can leave.
        remark: what a reader must know of how outline and ways out were found, or nothing.
    """

    name: str
    roof: RoofArea
    levels_m: tuple[Level, ...]
    ways: WaysOut
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaFalls:
    """What the levels of one area say.

    Attributes:
        area: the area.
        study: what its levels say.
        check: the check of the fall, with its limit, basis and source.
        verdict: on the plane's fall, by the specification's rule; undecided where the roof does
            not fall as one plane.
    """

    area: SurveyedArea
    study: LevelStudy
    check: Check
    verdict: Verdict


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
    folder = read_folder(path) if path.is_dir() else None
    pinned, areas = _areas(path, folder, only, outlets_m)
    _, loaded = folder_specification(folder, pinned, specification)
    return tuple(_falls(area, loaded) for area in areas)


def _falls(area: SurveyedArea, specification: Specification) -> AreaFalls:
    check = specification.checks[FALL]
    study = study_levels(
        area.levels_m,
        area.roof,
        area.ways,
        least_mm_per_m=check.limits.lower or 0.0,
        level_uncertainty_mm=specification.uncertainty.level_mm.value,
    )
    verdict = judge(
        study.plane.fall_mm_per_m,
        limits=check.limits,
        expanded_uncertainty=study.plane.expanded_uncertainty_mm_per_m,
        rule=specification.rule,
    )
    return AreaFalls(
        area=area,
        study=study,
        check=check,
        verdict=verdict if study.is_one_plane else Verdict.UNDECIDED,
    )


def _areas(
    path: Path, folder: JobFolder | None, only: str | None, outlets_m: tuple[Point, ...]
) -> tuple[str, tuple[SurveyedArea, ...]]:
    """The specification's name and the areas that have levels."""
    if folder is None and path.suffix.lower() not in (".toml", ".json"):
        if only is not None:
            raise UsageError(f"{path} is a list of levels and has no areas; leave --area out.")
        return GENERAL, (_of_levels(path, outlets_m),)
    if folder is not None:
        job = fold(folder.record)
        pinned, bodies = job.opening.body.specification, [area.body for area in job.areas]
    else:
        listed = parse_area_list(read_text(path), file=path.name)
        pinned, bodies = listed.specification or GENERAL, list(listed.area)
    areas = tuple(_surveyed(bodies, only, outlets_m))
    if not areas:
        wanted = "no area has levels" if only is None else f"no area “{only}” has levels"
        sentence = f"{wanted}; give its levels_m as [[x, y, z], …] in metres."
        raise RecordError((Problem(place=str(path), sentence=sentence),))
    return pinned, areas


def _surveyed(
    bodies: list[Area], only: str | None, outlets_m: tuple[Point, ...]
) -> Iterator[SurveyedArea]:
    for body in bodies:
        if body.levels_m and only in (None, body.area):
            roof = body.roof
            outlets = (*(body.outlets_m or ()), *outlets_m)
            ways = ways_out(roof.outline, plan_edges(body.edges), outlets)
            yield SurveyedArea(
                name=body.name,
                roof=roof,
                levels_m=body.levels_m,
                ways=ways,
                remark=_lost_text(ways),
            )


def _lost_text(ways: WaysOut) -> str:
    if not ways.lost:
        return ""
    return f"Which side the drip edge {', '.join(ways.lost)} is, the record does not tell."


def _of_levels(path: Path, outlets_m: tuple[Point, ...]) -> SurveyedArea:
    levels = parse_levels(read_text(path), file=path.name)
    outline = Outline(points_m=hull_m((x, y) for x, y, _ in levels))
    return SurveyedArea(
        name=path.stem,
        roof=RoofArea(outline=outline),
        levels_m=levels,
        ways=ways_out(outline, (), outlets_m),
        remark="The outline is the hull round the levels.",
    )

"""Taking off what to order: from a job folder, or from a small file of areas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from qa.errors import Problem, RecordError
from qa.record.area_list import parse_area_list
from qa.record.folder import JobFolder, read_folder
from qa.record.job import Job, fold
from qa.record.kinds.place import Area
from qa.services.carried import folder_specification
from qa.services.loading import GENERAL
from qa.services.reading_files import read_text
from qa.specification.model import Specification
from qa.specification.order_rates import order_rates
from qa.trade.edges import EdgeLength, Turnup
from qa.trade.ordering import AreaToLay, TakeOff
from qa.trade.takeoff import take_off

JOIST_CENTRES = "survey.joist_centres"


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOff:
    """A take-off with what it was made from.

    Attributes:
        title: what is to be roofed.
        firm: whose job it is, or None for a file of areas.
        dated: the day that the record last grew, or None for a file of areas.
        areas: the areas.
        specification_bytes: the specification's file as it stands.
    """

    title: str
    firm: str | None
    dated: date | None
    areas: tuple[AreaToLay, ...]
    specification: Specification
    specification_bytes: bytes
    take_off: TakeOff


def take_off_roof(path: Path, *, deck_c: float, specification: Path | None = None) -> TakenOff:
    """Takes off what to order for the areas of a job folder or of a file.

    Args:
        path: a job folder, or a TOML or JSON file of areas.
        deck_c: expected deck temperature, °C.
        specification: file of the specification; None for the one that the job or the file names,
            or the general one.

    Raises:
        LaidtrueError: the folder, the file or the specification cannot be used, the roof has no
            area, or the temperature lies outside a dose chart.
    """
    folder = read_folder(path) if path.is_dir() else None
    roof = _of_file(path) if folder is None else _of_folder(folder)
    content, loaded = folder_specification(folder, roof.specification, specification)
    return TakenOff(
        title=roof.title,
        firm=roof.firm,
        dated=roof.dated,
        areas=roof.areas,
        specification=loaded,
        specification_bytes=content,
        take_off=take_off(roof.areas, order_rates(loaded), deck_c=deck_c),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Roof:
    """The areas of a roof, and who wants it by what specification."""

    title: str
    firm: str | None
    dated: date | None
    areas: tuple[AreaToLay, ...]
    specification: str


def _of_folder(folder: JobFolder) -> _Roof:
    job = fold(folder.record)
    if not job.areas:
        sentence = "the record names no area; write one, or give a file of areas."
        raise RecordError((Problem(place=str(folder.path), sentence=sentence),))
    opening = job.opening.body
    last = max(entry.received_at or entry.at for entry in job.entries)
    return _Roof(
        title=opening.title,
        firm=opening.firm.name,
        dated=last.astimezone(job.time_zone).date(),
        areas=areas_to_lay(job),
        specification=opening.specification,
    )


def areas_to_lay(job: Job) -> tuple[AreaToLay, ...]:
    """The areas of a job before the work, in the order of its record."""
    measured = _joist_centres_m(job)
    return tuple(_to_lay(area.body, measured.get(area.body.area)) for area in job.areas)


def _joist_centres_m(job: Job) -> Mapping[str, float]:
    """The joist centres that were measured last, by area; one of no area holds for all."""
    centres: dict[str, float] = {}
    keys = [area.body.area for area in job.areas]
    for found in sorted(job.measurements, key=lambda one: (one.at, one.position)):
        if found.body.check == JOIST_CENTRES and found.body.value > 0:
            for key in keys if found.body.area is None else [found.body.area]:
                centres[key] = found.body.value / 1000.0
    return centres


def _of_file(path: Path) -> _Roof:
    listed = parse_area_list(read_text(path), file=path.name)
    return _Roof(
        title=listed.title or path.stem,
        firm=None,
        dated=None,
        areas=tuple(_to_lay(area, None) for area in listed.area),
        specification=listed.specification or GENERAL,
    )


def _to_lay(area: Area, joist_centres_m: float | None) -> AreaToLay:
    return AreaToLay(
        name=area.name,
        roof=area.roof,
        edges=tuple(EdgeLength(kind=edge.kind, length_m=edge.length_m) for edge in area.edges),
        upstands=tuple(
            Turnup(length_m=upstand.length_m, height_m=upstand.height_m)
            for upstand in area.upstands or ()
        ),
        mat_g_per_m2=area.mat_g_per_m2,
        layers=area.layers or 1,
        joist_centres_m=joist_centres_m,
    )

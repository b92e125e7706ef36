"""The job and its specification laid out for judging: areas, bays, lots, photos, ready to look up.

Built once for each assessment; the modules that judge only read it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from heapq import merge
from operator import itemgetter
from types import MappingProxyType
from typing import Generic, TypeVar
from zoneinfo import ZoneInfo

from qa.assess.known_uncertainty import KnownUncertainty
from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.place import Area, Edge
from qa.record.kinds.readings import Conditions, Examination, Interruption
from qa.record.kinds.supplies import Lot, Mix, Usage
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.bays import Bay, lay_out_bays
from qa.trade.outline import RoofArea
from qa.trade.strips import strip_angle_deg
from qa.trade.taped_area import area_uncertainty_m2
from qa.trade.vocabulary import Material, Stage

PhotoPlace = tuple[str | None, str | None]
"""Area and bay that a photo names, each None where it names none and holds for all."""

K = TypeVar("K")
V = TypeVar("V")


class Placed(Generic[V]):
    """Items by the area that they name; one that names none holds for every area.

    Looking up an area costs as much as its items, however many areas the job has.
    """

    def __init__(self, items: Iterable[V], area_of: Callable[[V], str | None]) -> None:
        self._at: dict[str | None, list[tuple[int, V]]] = grouped(
            enumerate(items), lambda pair: area_of(pair[1])
        )

    def at(self, area: str) -> list[V]:
        """The items of an area and those of all areas, in the order in which they were given."""
        own, common = self._at.get(area, []), self._at.get(None, [])
        merged = merge(own, common, key=itemgetter(0)) if own and common else own or common
        return [item for _, item in merged]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidArea:
    """One area of the roof with its geometry reckoned.

    Attributes:
        roof: outline, openings and slope.
        bays: the bays of its strip layout by key; strips run along the longest edge.
        laid_m2: net area on the slope, with the upstands.
        laid_uncertainty_m2: its expanded uncertainty, k = 2.
    """

    body: Area
    roof: RoofArea
    bays: Mapping[str, Bay]
    laid_m2: float
    laid_uncertainty_m2: float

    @property
    def edges(self) -> Mapping[str, Edge]:
        """The area's edges by key."""
        return {edge.edge: edge for edge in self.body.edges}


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Everything that the judging modules look up.

    Attributes:
        areas: the areas by key, in the order of the record.
        lots: the registered lots by key.
        mixes: the mixes of each wet stage, in order of time.
        readings, photos, examinations, interruptions, usages: entries of these kinds by area, in
            order of time; photos in the order of the record.
        photos_by: photos by what they show: ("bay", area, bay), ("mix", key), ("edge", area, edge),
            ("lot", key), ("nonconformity", number).
        photos_of_check: photos of each check by area and bay.
        known: how well each quantity is known.
    """

    job: Job
    specification: Specification
    zone: ZoneInfo
    areas: Mapping[str, LaidArea]
    lots: Mapping[str, Lot]
    mixes: Mapping[Stage, Sequence[Recorded[Mix]]]
    mixes_by_area: Placed[Recorded[Mix]]
    readings: Placed[Recorded[Conditions]]
    photos: Placed[Recorded[Photo]]
    examinations: Placed[Recorded[Examination]]
    interruptions: Placed[Recorded[Interruption]]
    usages: Placed[Recorded[Usage]]
    photos_by: Mapping[tuple[object, ...], Sequence[Recorded[Photo]]]
    photos_of_check: Mapping[str, Mapping[PhotoPlace, Sequence[Recorded[Photo]]]]
    known: KnownUncertainty

    def local_day(self, when: datetime) -> date:
        """The calendar day on the site."""
        return when.astimezone(self.zone).date()

    def local_time(self, when: datetime) -> str:
        """Date and time of day on the site, for a sentence."""
        return f"{when.astimezone(self.zone):%d %B %Y, %H:%M}".lstrip("0")

    def area_name(self, area: str | None) -> str | None:
        """How people call an area."""
        laid = self.areas.get(area) if area is not None else None
        return laid.body.name if laid else area

    def mixes_of(self, stage: Stage, area: str) -> list[Recorded[Mix]]:
        """The mixes of a stage laid on one area, in order of time."""
        return [mix for mix in self.mixes_by_area.at(area) if mix.body.stage is stage]

    def readings_of(self, stage: Stage, area: str) -> list[Recorded[Conditions]]:
        """The readings of a stage that hold for one area, in order of time."""
        return [reading for reading in self.readings.at(area) if reading.body.stage is stage]

    def usages_of(self, stage: Stage, area: str, material: Material) -> list[Recorded[Usage]]:
        """What was used of a material on one area in a stage."""
        return [
            usage
            for usage in self.usages.at(area)
            if usage.body.stage is stage and self.lots[usage.body.lot].material is material
        ]

    def interruptions_of(self, stage: Stage, area: str) -> list[Recorded[Interruption]]:
        """The interruptions of a stage that hold for one area, in order of time."""
        return [found for found in self.interruptions.at(area) if found.body.stage is stage]


def frame_of(job: Job, specification: Specification) -> Frame:
    """The frame for judging `job` by `specification`."""
    mixes = sorted(job.mixes, key=when)
    return Frame(
        job=job,
        specification=specification,
        zone=job.time_zone,
        areas={area.body.area: _laid(area.body, specification) for area in job.areas},
        lots={lot.body.lot: lot.body for lot in job.lots},
        mixes=grouped(mixes, lambda mix: mix.body.stage),
        mixes_by_area=_placed(mixes),
        readings=_placed(sorted(job.conditions, key=when)),
        photos=_placed(job.photos),
        examinations=_placed(sorted(job.examinations, key=when)),
        interruptions=_placed(sorted(job.interruptions, key=when)),
        usages=_placed(sorted(job.usages, key=when)),
        photos_by=_photos_by(job.photos),
        photos_of_check=_photos_of_check(job.photos),
        known=KnownUncertainty(job, specification),
    )


def when(recorded: Recorded[Body]) -> tuple[datetime, int]:
    """Sort key: by stated time, entries of one instant in the order of the record."""
    return (recorded.at, recorded.position)


def grouped(items: Iterable[V], key: Callable[[V], K]) -> dict[K, list[V]]:
    """The items under each key, in their order."""
    groups: dict[K, list[V]] = defaultdict(list)
    for item in items:
        groups[key(item)].append(item)
    return dict(groups)


R = TypeVar("R", bound=Recorded[Body])


def _placed(entries: Iterable[R]) -> Placed[R]:
    def area_of(entry: R) -> str | None:
        area: str | None = getattr(entry.body, "area", None)
        return area

    return Placed(entries, area_of)


def _laid(area: Area, specification: Specification) -> LaidArea:
    figures = specification.figures
    return _lay_out(
        area,
        mat_width_m=figures.mat_width_m.value,
        mat_overlap_m=figures.mat_overlap_m.value,
        bay_length_m=figures.bay_length_m.value,
        outline_uncertainty_m=specification.uncertainty.outline_m.value,
    )


@lru_cache(maxsize=512)  # a job in hand is judged after every entry, and its areas stay as they are
def _lay_out(
    area: Area,
    *,
    mat_width_m: float,
    mat_overlap_m: float,
    bay_length_m: float,
    outline_uncertainty_m: float,
) -> LaidArea:
    roof = area.roof
    bays = lay_out_bays(
        roof,
        mat_width_m=mat_width_m,
        mat_overlap_m=mat_overlap_m,
        bay_length_m=bay_length_m,
        angle_deg=strip_angle_deg(roof.outline),
    )
    upstands_m = [(upstand.length_m, upstand.height_m) for upstand in area.upstands or ()]
    return LaidArea(
        body=area,
        roof=roof,
        bays=MappingProxyType({bay.key: bay for bay in bays}),
        laid_m2=roof.net_area_m2 + sum(length_m * height_m for length_m, height_m in upstands_m),
        laid_uncertainty_m2=area_uncertainty_m2(
            roof,
            length_uncertainty_m=outline_uncertainty_m,
            upstands_m=upstands_m,
        ),
    )


def _photos_by(
    photos: Iterable[Recorded[Photo]],
) -> dict[tuple[object, ...], list[Recorded[Photo]]]:
    by: dict[tuple[object, ...], list[Recorded[Photo]]] = defaultdict(list)
    for photo in photos:
        body = photo.body
        if body.bay is not None:
            by["bay", body.area, body.bay].append(photo)
        if body.edge is not None:
            by["edge", body.area, body.edge].append(photo)
        for name in ("mix", "lot", "nonconformity"):
            value = getattr(body, name)
            if value is not None:
                by[name, value].append(photo)
    return dict(by)


def _photos_of_check(
    photos: Iterable[Recorded[Photo]],
) -> dict[str, dict[PhotoPlace, list[Recorded[Photo]]]]:
    of_check = grouped((p for p in photos if p.body.check), lambda photo: photo.body.check or "")
    return {
        check: grouped(shown, lambda photo: (photo.body.area, photo.body.bay))
        for check, shown in of_check.items()
    }

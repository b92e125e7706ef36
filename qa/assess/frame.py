"""The job and its specification laid out for judging: areas, bays, lots, photos, ready to look up.

Built once for each assessment; the modules that judge only read it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar
from zoneinfo import ZoneInfo

from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.place import Area, Edge
from qa.record.kinds.supplies import Lot, Mix
from qa.record.schema import Body
from qa.specification.model import Specification
from qa.trade.bays import Bay, lay_out_bays
from qa.trade.outline import RoofArea
from qa.trade.vocabulary import Stage

K = TypeVar("K")
V = TypeVar("V")


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidArea:
    """One area of the roof with its geometry reckoned.

    Attributes:
        roof: outline, openings and slope.
        bays: the bays of its strip layout by key.
        laid_m2: net area on the slope, with the upstands.
    """

    body: Area
    roof: RoofArea
    bays: Mapping[str, Bay]
    laid_m2: float

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
        photos_by: files of photos by what they show: ("check", key), ("bay", area, bay),
            ("mix", key), ("edge", area, edge), ("lot", key), ("nonconformity", number).
    """

    job: Job
    specification: Specification
    zone: ZoneInfo
    areas: Mapping[str, LaidArea]
    lots: Mapping[str, Lot]
    mixes: Mapping[Stage, Sequence[Recorded[Mix]]]
    photos_by: Mapping[tuple[object, ...], Sequence[Recorded[Photo]]]

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
        return [mix for mix in self.mixes.get(stage, ()) if mix.body.area == area]


def frame_of(job: Job, specification: Specification) -> Frame:
    """The frame for judging `job` by `specification`."""
    mixes = grouped(sorted(job.mixes, key=when), lambda mix: mix.body.stage)
    return Frame(
        job=job,
        specification=specification,
        zone=job.time_zone,
        areas={area.body.area: _laid(area.body, specification) for area in job.areas},
        lots={lot.body.lot: lot.body for lot in job.lots},
        mixes=mixes,
        photos_by=_photos_by(job.photos),
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


def _laid(area: Area, specification: Specification) -> LaidArea:
    figures = specification.figures
    roof = area.roof
    bays = lay_out_bays(
        roof,
        mat_width_m=figures.mat_width_m.value,
        mat_overlap_m=figures.mat_overlap_m.value,
        bay_length_m=figures.bay_length_m.value,
    )
    upstands_m2 = sum(upstand.length_m * upstand.height_m for upstand in area.upstands or ())
    return LaidArea(
        body=area,
        roof=roof,
        bays={bay.key: bay for bay in bays},
        laid_m2=roof.net_area_m2 + upstands_m2,
    )


def _photos_by(
    photos: Iterable[Recorded[Photo]],
) -> dict[tuple[object, ...], list[Recorded[Photo]]]:
    by: dict[tuple[object, ...], list[Recorded[Photo]]] = defaultdict(list)
    for photo in photos:
        body = photo.body
        if body.check is not None:
            by["check", body.check].append(photo)
        if body.bay is not None:
            by["bay", body.area, body.bay].append(photo)
        if body.edge is not None:
            by["edge", body.area, body.edge].append(photo)
        for name in ("mix", "lot", "nonconformity"):
            value = getattr(body, name)
            if value is not None:
                by[name, value].append(photo)
    return dict(by)

"""`stage.photos`: whether every photo that a stage asks for is there.

A request that names checks, edges, rows of bays, lots or defects is met by a photo that names the
same. A request without such a mark (the whole roof, a corner) is met by any further photo of the
stage and area: no machine decides here what a picture shows, a person looks at it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea
from qa.assess.judging import finding
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Examination
from qa.specification.model import PhotoPer, PhotoRequest
from qa.trade.conformity import Limits
from qa.trade.vocabulary import Stage, WetOut

PHOTOS = "stage.photos"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One photo, or a few of a kind, that must be there.

    Attributes:
        text: what must be seen, with its place.
        least: how many.
        candidates: photos that name what is asked for, or, for a request without a mark, every
            photo of the stage and area.
        is_marked: whether only photos that name it can meet the request.
    """

    text: str
    least: int
    candidates: tuple[Recorded[Photo], ...]
    is_marked: bool


def judge_photos(frame: Frame) -> Iterator[Finding]:
    """The finding on the photos of every stage that asks for any."""
    for rule in frame.specification.stages:
        wanted = [w for request in rule.photos for w in _wanted(frame, rule.stage, request)]
        if not wanted:
            continue
        missing, used = _missing(wanted)
        met = len(wanted) - len(missing)
        remark = f"Missing: {'; '.join(missing)}." if missing else ""
        there = bool(_of_stage(frame.job.photos, rule.stage))
        yield finding(
            frame,
            PHOTOS,
            stage=rule.stage,
            value=float(met) if there else None,
            limits=Limits(lower=float(len(wanted)), upper=None),
            expanded_uncertainty=0.0,
            on=used,
            remark=remark,
        )


def _missing(wanted: Sequence[Wanted]) -> tuple[list[str], list[Recorded[Photo]]]:
    """What is missing, and the photos that meet the rest; marked requests choose first."""
    used: dict[str, Recorded[Photo]] = {}
    missing = []
    for want in (w for w in wanted if w.is_marked):
        found = want.candidates[: want.least]
        used |= {photo.id: photo for photo in found}
        if len(found) < want.least:
            missing.append(want.text)
    for want in (w for w in wanted if not w.is_marked):
        found = tuple(photo for photo in want.candidates if photo.id not in used)[: want.least]
        used |= {photo.id: photo for photo in found}
        if len(found) < want.least:
            missing.append(f"{want.text} ({len(found)} of {want.least})")
    return missing, list(used.values())


def _wanted(frame: Frame, stage: Stage, request: PhotoRequest) -> Iterator[Wanted]:
    if request.per is PhotoPer.JOB:
        photos = _of_stage(frame.job.photos, stage)
        yield _unmarked_or_checked(request, photos, None, request.least)
    elif request.per is PhotoPer.LOT:
        yield from _per_lot(frame, stage, request)
    else:
        for area in frame.areas.values():
            here = _of_stage(frame.photos.at(area.body.area), stage)
            name = area.body.name if len(frame.areas) > 1 else None
            yield from _per_area(frame, request, area, here, name)


def _of_stage(photos: Iterable[Recorded[Photo]], stage: Stage) -> list[Recorded[Photo]]:
    return [photo for photo in photos if photo.body.stage is stage]


def _per_area(
    frame: Frame,
    request: PhotoRequest,
    area: LaidArea,
    here: Sequence[Recorded[Photo]],
    name: str | None,
) -> Iterator[Wanted]:
    if request.per is PhotoPer.AREA:
        yield _unmarked_or_checked(request, here, name, request.least)
    elif request.per is PhotoPer.CORNER:
        corners = len(area.body.outline_m)
        yield _unmarked_or_checked(request, here, name, request.least * corners)
    else:
        for mark, found in _MARKS[request.per](frame, area, here):
            yield _marked(request, found, name, mark)


_Photos = Sequence[Recorded[Photo]]
_Marked = Iterator[tuple[str, _Photos]]


def _by_edge_kind(_frame: Frame, area: LaidArea, here: _Photos) -> _Marked:
    for kind in dict.fromkeys(edge.kind for edge in area.body.edges):
        keys = {edge.edge for edge in area.body.edges if edge.kind is kind}
        yield kind.replace("_", " "), [photo for photo in here if photo.body.edge in keys]


def _by_edge(_frame: Frame, area: LaidArea, here: _Photos) -> _Marked:
    for edge in area.body.edges:
        yield f"edge {edge.edge}", [photo for photo in here if photo.body.edge == edge.edge]


def _by_bay_row(_frame: Frame, area: LaidArea, here: _Photos) -> _Marked:
    for row in sorted({bay.row for bay in area.bays.values()}):
        start = f"r{row}b"
        yield f"row {row}", [p for p in here if (p.body.bay or "").startswith(start)]


def _by_defect(frame: Frame, area: LaidArea, here: _Photos) -> _Marked:
    for bay in _defective_bays(frame, area):
        yield f"bay {bay}", [photo for photo in here if photo.body.bay == bay]


_MARKS: Mapping[PhotoPer, Callable[[Frame, LaidArea, _Photos], _Marked]] = {
    PhotoPer.EDGE_KIND: _by_edge_kind,
    PhotoPer.EDGE: _by_edge,
    PhotoPer.BAY_ROW: _by_bay_row,
    PhotoPer.DEFECT: _by_defect,
}


def _per_lot(frame: Frame, stage: Stage, request: PhotoRequest) -> Iterator[Wanted]:
    """The lots that the mixes and usages of a stage name, each photographed at any stage."""
    used = [
        key for mix in frame.mixes.get(stage, ()) for key in (mix.body.lot, mix.body.catalyst_lot)
    ]
    used += [usage.body.lot for usage in frame.job.usages if usage.body.stage is stage]
    for lot in dict.fromkeys(used):
        yield _marked(request, frame.photos_by.get(("lot", lot), ()), None, f"lot {lot}")


def _defective_bays(frame: Frame, area: LaidArea) -> list[str]:
    found = [
        examination.body.bay
        for examination in frame.examinations.at(area.body.area)
        if has_defect(examination.body)
    ]
    return list(dict.fromkeys(found))


def has_defect(examination: Examination) -> bool:
    """Whether a bay was found with white patches, pinholes or trapped air."""
    opaque = examination.wet_out is not WetOut.TRANSPARENT or bool(examination.opaque_cm2)
    return opaque or examination.pinholes > 0 or (examination.trapped_air or 0) > 0


def _unmarked_or_checked(
    request: PhotoRequest, photos: Sequence[Recorded[Photo]], name: str | None, least: int
) -> Wanted:
    if request.checks:
        photos = [photo for photo in photos if photo.body.check in request.checks]
    return Wanted(
        text=_text(request, name),
        least=least,
        candidates=tuple(photos),
        is_marked=bool(request.checks),
    )


def _marked(
    request: PhotoRequest, photos: Sequence[Recorded[Photo]], name: str | None, mark: str
) -> Wanted:
    return Wanted(
        text=f"{_text(request, name)}: {mark}",
        least=request.least,
        candidates=tuple(photos),
        is_marked=True,
    )


def _text(request: PhotoRequest, name: str | None) -> str:
    return f"{request.text} ({name})" if name else request.text

"""`stage.photos`: whether every photo that a stage asks for is there.

A request that names checks, edges, rows of bays, lots or defects is met by a photo that names the
same. A request without such a mark (the whole roof, a corner) is met by any further photo of the
stage and area but a batch label: no machine decides here what a picture shows. A person does, and
a photo whose caption names one such request meets no other.

While a stage is not signed off, what is missing may still be photographed: it is not recorded yet,
and outside limits only when somebody signs without it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea
from qa.assess.judging import finding
from qa.assess.stages import is_unsigned
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Examination
from qa.specification.model import PhotoPer, PhotoRequest
from qa.trade.conformity import Limits
from qa.trade.vocabulary import Stage, WetOut

PHOTOS = "stage.photos"
_ONE_OF = "Asked for: "


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPlace:
    """What a photo names so that it meets a request; None where it need name nothing.

    Attributes:
        bay: the first bay of the row, or the bay with the defect.
        caption: of a photo that names nothing else, so that it tells what it was taken for.
    """

    area: str | None = None
    check: str | None = None
    edge: str | None = None
    bay: str | None = None
    lot: str | None = None
    caption: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One photo, or a few of a kind, that must be there.

    Attributes:
        asked: what must be seen, with its area where there are several.
        mark: which of several it is: "row 2"; or nothing.
        least: how many.
        place: what a photo must name.
        candidates: photos that name what is asked for, or, for a request without a mark, every
            photo of the stage and area.
        is_marked: whether only photos that name it can meet the request.
    """

    asked: str
    mark: str = ""
    least: int
    place: PhotoPlace
    candidates: tuple[Recorded[Photo], ...]
    is_marked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MissingPhotos:
    """A request that is not met yet, and how many photos of it there are."""

    wanted: Wanted
    there: int

    @property
    def text(self) -> str:
        """What is missing, in words."""
        wanted = self.wanted
        if wanted.is_marked:
            return f"{wanted.asked}: {wanted.mark}" if wanted.mark else wanted.asked
        return f"{wanted.asked} ({self.there} of {wanted.least})"


def judge_photos(frame: Frame) -> Iterator[Finding]:
    """The finding on the photos of every stage that asks for any."""
    for rule in frame.specification.stages:
        wanted = wanted_photos(frame, rule.stage)
        if not wanted:
            continue
        missing, used = _missing(wanted)
        met = len(wanted) - len(missing)
        remark = f"Missing: {'; '.join(one.text for one in missing)}." if missing else ""
        there = bool(_of_stage(frame.job.photos, rule.stage))
        may_come = bool(missing) and is_unsigned(frame.job, rule.stage)
        yield finding(
            frame,
            PHOTOS,
            stage=rule.stage,
            value=float(met) if there and not may_come else None,
            limits=Limits(lower=float(len(wanted)), upper=None),
            expanded_uncertainty=0.0,
            on=used,
            remark=remark,
        )


def wanted_photos(frame: Frame, stage: Stage) -> tuple[Wanted, ...]:
    """Every photo that a stage asks for, there or not, in the order of the specification."""
    rule = frame.specification.stage_rule(stage)
    return tuple(w for request in rule.photos for w in _wanted(frame, stage, request))


def missing_photos(frame: Frame, stage: Stage) -> tuple[MissingPhotos, ...]:
    """What a stage asks for and nobody has photographed yet."""
    return tuple(_missing(wanted_photos(frame, stage))[0])


def _missing(wanted: Sequence[Wanted]) -> tuple[list[MissingPhotos], list[Recorded[Photo]]]:
    """What is missing, and the photos that meet the rest; marked requests choose first."""
    used: dict[str, Recorded[Photo]] = {}
    missing = []
    captions = {want.place.caption for want in wanted} - {None}
    for want in sorted(wanted, key=lambda want: not want.is_marked):
        found = tuple(islice(_free(want, used, captions - {want.place.caption}), want.least))
        used |= {photo.id: photo for photo in found}
        if len(found) < want.least:
            missing.append(MissingPhotos(wanted=want, there=len(found)))
    return missing, list(used.values())


def _free(
    want: Wanted, used: Collection[str], others: Collection[str | None]
) -> Iterator[Recorded[Photo]]:
    """The photos that may meet a request, those first whose caption names it."""
    if want.is_marked:
        return iter(want.candidates)
    free = [p for p in want.candidates if p.id not in used and p.body.caption not in others]
    return iter(sorted(free, key=lambda photo: photo.body.caption != want.place.caption))


def _wanted(frame: Frame, stage: Stage, request: PhotoRequest) -> Iterator[Wanted]:
    if request.per is PhotoPer.JOB:
        photos = _of_stage(frame.job.photos, stage)
        yield _unmarked_or_checked(request, photos)
    elif request.per is PhotoPer.LOT:
        yield from _per_lot(frame, stage, request)
    else:
        for area in frame.areas.values():
            here = _of_stage(frame.photos.at(area.body.area), stage)
            yield from _per_area(frame, request, area, here)


def _of_stage(photos: Iterable[Recorded[Photo]], stage: Stage) -> list[Recorded[Photo]]:
    return [photo for photo in photos if photo.body.stage is stage]


def _per_area(
    frame: Frame, request: PhotoRequest, area: LaidArea, here: Sequence[Recorded[Photo]]
) -> Iterator[Wanted]:
    name = area.body.name if len(frame.areas) > 1 else None
    if request.per is PhotoPer.AREA:
        yield _unmarked_or_checked(request, here, area, name=name)
    elif request.per is PhotoPer.CORNER:
        yield _unmarked_or_checked(request, here, area, name=name, times=len(area.body.outline_m))
    else:
        for mark in _MARKS[request.per](frame, area, here):
            yield Wanted(
                asked=_text(request, name),
                mark=mark.text,
                least=request.least,
                place=PhotoPlace(area=area.body.area, edge=mark.edge, bay=mark.bay),
                candidates=tuple(mark.photos),
                is_marked=True,
            )


_Photos = Sequence[Recorded[Photo]]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """One of the things that a request asks a photo of, and the photos that name it."""

    text: str
    photos: _Photos
    edge: str | None = None
    bay: str | None = None


def _by_edge_kind(_frame: Frame, area: LaidArea, here: _Photos) -> Iterator[_Mark]:
    for kind in dict.fromkeys(edge.kind for edge in area.body.edges):
        keys = [edge.edge for edge in area.body.edges if edge.kind is kind]
        photos = [photo for photo in here if photo.body.edge in keys]
        yield _Mark(text=kind.replace("_", " "), photos=photos, edge=keys[0])


def _by_edge(_frame: Frame, area: LaidArea, here: _Photos) -> Iterator[_Mark]:
    for edge in area.body.edges:
        photos = [photo for photo in here if photo.body.edge == edge.edge]
        yield _Mark(text=f"edge {edge.edge}", photos=photos, edge=edge.edge)


def _by_bay_row(_frame: Frame, area: LaidArea, here: _Photos) -> Iterator[_Mark]:
    for row in sorted({bay.row for bay in area.bays.values()}):
        photos = [p for p in here if (p.body.bay or "").startswith(f"r{row}b")]
        first = next(key for key, bay in area.bays.items() if bay.row == row)
        yield _Mark(text=f"row {row}", photos=photos, bay=first)


def _by_defect(frame: Frame, area: LaidArea, here: _Photos) -> Iterator[_Mark]:
    for bay in _defective_bays(frame, area):
        photos = [photo for photo in here if photo.body.bay == bay]
        yield _Mark(text=f"bay {bay}", photos=photos, bay=bay)


_MARKS: Mapping[PhotoPer, Callable[[Frame, LaidArea, _Photos], Iterator[_Mark]]] = {
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
        yield Wanted(
            asked=request.text,
            mark=f"lot {lot}",
            least=request.least,
            place=PhotoPlace(lot=lot),
            candidates=tuple(frame.photos_by.get(("lot", lot), ())),
            is_marked=True,
        )


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
    request: PhotoRequest,
    photos: Sequence[Recorded[Photo]],
    area: LaidArea | None = None,
    *,
    name: str | None = None,
    times: int = 1,
) -> Wanted:
    if request.checks:
        photos = [photo for photo in photos if photo.body.check in request.checks]
    else:
        photos = [photo for photo in photos if photo.body.lot is None]
    return Wanted(
        asked=_text(request, name),
        least=request.least * times,
        place=PhotoPlace(
            area=area.body.area if area else None,
            check=request.checks[0] if request.checks else None,
            caption=None if request.checks else _caption(request, times),
        ),
        candidates=tuple(photos),
        is_marked=bool(request.checks),
    )


def _caption(request: PhotoRequest, times: int) -> str:
    """What a photo says that was taken for a request; one of several shows but a part of it."""
    if request.least * times > 1:
        return _ONE_OF + request.text
    return f"{request.text[:1].upper()}{request.text[1:]}"


def _text(request: PhotoRequest, name: str | None) -> str:
    return f"{request.text} ({name})" if name else request.text

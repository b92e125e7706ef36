"""The photographs: two in a row, under each what the record says of it and its whole digest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from qa.assess.frame import grouped, when
from qa.packs.cutting import cut
from qa.packs.source import PackPhoto, PackSource
from qa.packs.warranty.citing import Citation, Citing, area_label
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.marked import ESTIMATE, bodies, has_estimate, last_drawn, photo_key, told_marks

_LINE_CHARACTERS = 64
"""What a line under a picture holds; there are four, one of them for the digest."""
_WORDS_CHARACTERS = 104
"""What two lines hold; longer captions follow the photographs, whole."""
_FACTS_CHARACTERS = 72
"""What a line of file name and times holds, which is mostly narrow figures."""
_ALT_CHARACTERS = 240
_DRAWN_CHARACTERS = 190
"""What three more lines hold; all of it follows the photographs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One photograph on the page.

    Attributes:
        words: number of the entry, what it shows (area, bay, edge, mix, lot) and the installer's
            words, cut to what fits.
        facts: file, stated time and person, and the camera's own time if it gave one.
        sha256: digest of the original.
        drawn: who drew what upon it, cut to what fits; nothing where nobody did.
    """

    address: str
    alt: str
    words: str
    facts: str
    sha256: str
    drawn: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePhotos:
    """The photographs of one stage, in rows of two."""

    key: str
    title: str
    count: int
    rows: tuple[tuple[Picture, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LongCaption:
    """A caption that was cut under its picture, whole."""

    number: int
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """What one person drew upon a photograph, whole.

    Attributes:
        number: of the photo's entry.
        text: who, when, by which entry, and what.
    """

    number: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Photographs:
    """What the chapter shows.

    Attributes:
        erased: the photo entries whose original is not there any more, in words.
        drawings: what was drawn upon the photographs.
        estimate: what is said of lengths by a reference; nothing where there are none.
    """

    stages: tuple[StagePhotos, ...]
    captions: tuple[LongCaption, ...]
    erased: tuple[str, ...]
    drawings: tuple[Drawing, ...]
    estimate: str


def photographs(source: PackSource, citing: Citing) -> Photographs:
    """All photographs of the job, stage by stage in order of time."""
    photos = source.job.photos
    return Photographs(
        stages=tuple(_stages(source, citing, photos)),
        captions=tuple(_long_captions(source, citing, photos)),
        erased=tuple(_erased(source, citing, photos)),
        drawings=tuple(_drawings(source, citing, photos)),
        estimate=ESTIMATE if any(map(has_estimate, map(bodies, source.marked.values()))) else "",
    )


def _drawings(
    source: PackSource, citing: Citing, photos: Iterable[Recorded[Photo]]
) -> Iterator[Drawing]:
    """What was drawn upon each photograph that is shown, in the order of the record."""
    for photo in photos:
        kept = source.photos.get(photo.body.file)
        if kept is None or not kept.address:
            continue
        for one in source.marked.get(photo_key(photo.body), ()):
            drawn_by = citing.entry(last_drawn(one).id).text
            text = f"{drawn_by}: {told_marks(one.body, kept.shape)}"
            yield Drawing(number=citing.recorded(photo).number, text=text)


def _stages(
    source: PackSource, citing: Citing, photos: Iterable[Recorded[Photo]]
) -> Iterator[StagePhotos]:
    by_stage = grouped(sorted(photos, key=when), lambda photo: photo.body.stage)
    for rule in source.specification.stages:
        pictures = [
            _picture(source, citing, photo, kept, kept.address)
            for photo in by_stage.get(rule.stage, ())
            if (kept := source.photos.get(photo.body.file)) and kept.address
        ]
        if pictures:
            yield StagePhotos(
                key=f"photos-{rule.stage}",
                title=rule.title,
                count=len(pictures),
                rows=tuple(tuple(pictures[at : at + 2]) for at in range(0, len(pictures), 2)),
            )


def _picture(
    source: PackSource, citing: Citing, photo: Recorded[Photo], kept: PackPhoto, address: str
) -> Picture:
    cited = citing.recorded(photo)
    place = _place(source, photo.body)
    caption = photo.body.caption or ""
    words = cut(_words(cited, place, caption), _WORDS_CHARACTERS)
    room = _FACTS_CHARACTERS if len(words) > _LINE_CHARACTERS else 2 * _LINE_CHARACTERS
    return Picture(
        address=address,
        alt=cut(f"Photograph {cited.number}, {place}. {caption}".strip(), _ALT_CHARACTERS),
        words=words,
        facts=cut(_facts(citing, photo, kept), room),
        sha256=kept.sha256,
        drawn=cut(_drawn(source, citing, photo), _DRAWN_CHARACTERS),
    )


def _drawn(source: PackSource, citing: Citing, photo: Recorded[Photo]) -> str:
    """What was drawn upon one photograph, or nothing."""
    told = "; ".join(drawing.text for drawing in _drawings(source, citing, [photo]))
    return f"Drawn upon this copy: {told}" if told else ""


def _long_captions(
    source: PackSource, citing: Citing, photos: Iterable[Recorded[Photo]]
) -> Iterator[LongCaption]:
    for photo in photos:
        cited, caption = citing.recorded(photo), photo.body.caption
        whole = _words(cited, _place(source, photo.body), caption or "")
        if caption and len(whole) > _WORDS_CHARACTERS:
            yield LongCaption(number=cited.number, caption=caption)


def _words(cited: Citation, place: str, caption: str) -> str:
    return f"{cited.number}\u2002{place}: {caption}" if caption else f"{cited.number}\u2002{place}"


def _place(source: PackSource, body: Photo) -> str:
    """What the record says that the photograph shows; the stage where it says nothing."""
    parts = (
        area_label(source, body.area),
        body.bay,
        f"edge {body.edge}" if body.edge else None,
        body.mix,
        f"lot {body.lot}" if body.lot else None,
        f"nonconformity {body.nonconformity}" if body.nonconformity else None,
    )
    title = source.specification.stage_rule(body.stage).title
    return ", ".join(part for part in parts if part) or title


def _facts(citing: Citing, photo: Recorded[Photo], kept: PackPhoto) -> str:
    """The line of facts; the camera's day is named where it is not the stated one."""
    cited, camera = citing.recorded(photo), "no camera time"
    if kept.taken_at:
        is_same_day = citing.day(kept.taken_at) == citing.day(photo.at)
        taken = citing.clock(kept.taken_at) if is_same_day else citing.time(kept.taken_at)
        camera = f"camera {taken}"
    elif kept.clock:
        camera = f"camera clock {kept.clock:%Y-%m-%d %H:%M}, no zone"
    name = f", {kept.camera}" if kept.camera else ""
    return f"{kept.file.removeprefix('photos/')}; {cited.when}, {cited.by}; {camera}{name}"


def _erased(source: PackSource, citing: Citing, photos: Sequence[Recorded[Photo]]) -> Iterator[str]:
    """The photos that cannot be shown, each with the erasure that took it."""
    erasures = {
        digest: erasure for erasure in source.job.erasures for digest in erasure.body.photos or ()
    }
    for photo in photos:
        kept = source.photos.get(photo.body.file)
        if kept is not None and kept.address is not None:
            continue
        erasure = erasures.get(photo.body.sha256 or "")
        why = (
            f"erased {citing.recorded(erasure).text}: {erasure.body.reason}"
            if erasure
            else "not here, and no erasure names it"
        )
        yield f"{photo.body.file}, entry {citing.recorded(photo).number}: {why}"

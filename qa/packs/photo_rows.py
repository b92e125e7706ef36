"""Photographs as a page shows them: two in a row, each with its place, its words and its time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from qa.packs.cutting import cut
from qa.packs.source import PackSource
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.marked import (
    ESTIMATE,
    Marked,
    bodies,
    has_estimate,
    last_drawn,
    photo_key,
    told_marks,
)
from qa.trade.bays import parse_bay_key

CAPTION_CHARACTERS = 84
"""What two lines under a photograph hold beside its place and time; the record keeps the rest."""
PLACE_CHARACTERS = 44
DRAWN_CHARACTERS = 240
_ALT_CHARACTERS = 240


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPhoto:
    """One photograph on a page.

    Attributes:
        address: what the `img` names it by.
        alt: what it shows, for those who cannot see it.
        place: where on the roof, or the stage.
        caption: the installer's words, cut to what fits, or nothing.
        time: when it was taken, as the record states.
        drawn: who drew what upon it, and when; nothing where nobody did.
        estimate: what is said of lengths by a reference; nothing where there are none.
    """

    address: str
    alt: str
    place: str
    caption: str
    time: str
    drawn: str
    estimate: str


Row = tuple[ShownPhoto, ...]


def photo_rows(
    source: PackSource, photos: Iterable[Recorded[Photo]], *, in_a_row: int = 2
) -> tuple[Row, ...]:
    """The photographs in rows; those whose original was erased have no picture and are left out.

    Args:
        source: the pack's source.
        photos: the photo entries in the order in which they are shown.
        in_a_row: how many stand side by side.
    """
    shown = [_shown(source, photo, address) for photo, address in _with_pictures(source, photos)]
    return tuple(tuple(shown[at : at + in_a_row]) for at in range(0, len(shown), in_a_row))


def has_picture(source: PackSource, photo: Recorded[Photo]) -> bool:
    """Whether the photograph can be shown: its original was not erased."""
    kept = source.photos.get(photo.body.file)
    return kept is not None and kept.address is not None


def bay_words(bay: str) -> str:
    """A bay's place in plain words.

    >>> bay_words("r2b11")
    'row 2, square 11'
    """
    place = parse_bay_key(bay)
    return f"row {place.row}, square {place.number}"


def _with_pictures(
    source: PackSource, photos: Iterable[Recorded[Photo]]
) -> Iterable[tuple[Recorded[Photo], str]]:
    for photo in photos:
        kept = source.photos.get(photo.body.file)
        if kept is not None and kept.address is not None:
            yield photo, kept.address


def _shown(source: PackSource, photo: Recorded[Photo], address: str) -> ShownPhoto:
    place = place_text(source, photo.body)
    words = photo.body.caption or ""
    described = f"Photograph, {place}. {words}".strip()
    marked = source.marked.get(photo_key(photo.body), ())
    return ShownPhoto(
        address=address,
        alt=cut(described, _ALT_CHARACTERS),
        place=cut(place, PLACE_CHARACTERS),
        caption=cut(words, CAPTION_CHARACTERS),
        time=source.time_text(photo.at),
        drawn=cut(_drawn(source, photo.body, marked), DRAWN_CHARACTERS),
        estimate=ESTIMATE if has_estimate(bodies(marked)) else "",
    )


def _drawn(source: PackSource, photo: Photo, marked: Marked) -> str:
    """Who drew what upon a photograph, and when; or nothing."""
    if not marked:
        return ""
    shape = source.photos[photo.file].shape
    told = (
        f"{source.person(last.by)}, {source.time_text(last.at)}: {told_marks(one.body, shape)}"
        for one in marked
        for last in [last_drawn(one)]
    )
    return f"Drawn upon this copy by {'; '.join(told)}"


def place_text(source: PackSource, body: Photo) -> str:
    """Where on the roof a photograph was taken: area, bay or edge; the stage where neither."""
    frame = source.frame
    parts = []
    if body.area is not None and (len(frame.areas) > 1 or (body.bay or body.edge) is None):
        parts.append(str(frame.area_name(body.area)))
    if body.bay is not None:
        parts.append(bay_words(body.bay))
    if body.edge is not None:
        parts.append(f"edge “{body.edge}”")
    if not parts:
        parts.append(source.specification.stage_rule(body.stage).title)
    text = ", ".join(parts)
    return text[0].upper() + text[1:]

"""Which few photographs of a stage a homeowner is shown: always the same ones for one record.

Photographs are sorted by what they show (a place, a check, nothing in particular), and one is taken
of each kind in turn, those with a caption first. Batch labels come last, as they matter to an
expert, and so do pictures of a fault, which the second page shows.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain, zip_longest

from qa.assess.frame import grouped, when
from qa.packs.photo_rows import has_picture
from qa.packs.source import PackSource
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.trade.vocabulary import Stage

_WHOLE_ROOF_FIRST = (Stage.SURVEY, Stage.COMPLETION)
"""Stages whose best pictures show the roof as a whole and so name no place on it."""


def best_photos(source: PackSource, stage: Stage, *, most: int) -> tuple[Recorded[Photo], ...]:
    """The photographs of a stage that are shown, in order of time.

    Args:
        source: the pack's source.
        stage: the stage.
        most: how many at most.
    """
    of_stage = [
        photo
        for photo in source.job.photos
        if photo.body.stage is stage and has_picture(source, photo)
    ]
    chosen = _in_turn(sorted(of_stage, key=_rank))[:most]
    return tuple(sorted(chosen, key=when))


def _in_turn(photos: Iterable[Recorded[Photo]]) -> list[Recorded[Photo]]:
    """One photograph of each kind, then a second of each, and so on."""
    kinds = grouped(photos, _shows).values()
    rounds = chain.from_iterable(zip_longest(*kinds))
    return [photo for photo in rounds if photo is not None]


def _shows(photo: Recorded[Photo]) -> tuple[object, ...]:
    """What a photograph shows, coarsely: check, edge, row of bays or whole area."""
    body = photo.body
    row = body.bay.split("b")[0] if body.bay else None
    return (body.area, body.check, body.edge, row, body.lot or body.mix, body.nonconformity)


def _rank(photo: Recorded[Photo]) -> tuple[object, ...]:
    body = photo.body
    is_tied = any((body.check, body.bay, body.edge))
    is_wanted = is_tied != (body.stage in _WHOLE_ROOF_FIRST)
    is_label = body.lot is not None and not is_tied
    is_shown_before = body.nonconformity is not None
    return (is_label, is_shown_before, body.caption is None, not is_wanted, *when(photo))

"""Findings as pages show them: what, where, how it stands, limit and source, photographs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.assess.nonconformities import Case, cases
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.specification.model import Per
from qa.texts.saying import say
from qa.web.frame import actor
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.raising import Remedy, remedy
from qa.web.roof.wording import Judged, area_text, begun, judged, limit_text, stage_title


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingView:
    """One finding.

    Attributes:
        key: where it stands on a page, for an address that leads there.
        text: what was judged.
        place: stage, area, bay, subject.
        limit: with basis and source.
        entries: addresses of the entries that it rests on, the first few.
        is_open: whether it is outside its limits and nothing was done about it.
        remedy: the way to the nonconformity about it, for who may raise one.
    """

    key: str
    text: str
    place: str
    judged: Judged
    limit: str
    entries: tuple[str, ...]
    photos: tuple[PhotoView, ...]
    is_open: bool
    remedy: Remedy | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingGroup:
    """Findings of one check in one stage: the first is shown, the others fold away.

    Attributes:
        more: the next ones.
        left_out: keys of those beyond, so that an address of one of them leads to its kin.
    """

    first: FindingView
    more: tuple[FindingView, ...]
    left_out: tuple[str, ...]


MOST_FOLDED = 20
"""Findings of one check that are folded below the first; nobody reads the three hundredth."""
_FEW = 3
_NO_KEY = re.compile(r"\W+")


def finding_groups(read: ReadJob, findings: Iterable[Finding]) -> tuple[FindingGroup, ...]:
    """Findings as a page shows them, in their order, those of one check together."""
    photos = grouped(read.job.photos, lambda photo: photo.body.file)
    known = cases(read.job)
    alike = grouped(findings, lambda found: (found.stage, found.check))
    return tuple(
        FindingGroup(
            first=_view(read, first, photos, known),
            more=tuple(_view(read, found, photos, known) for found in others[:MOST_FOLDED]),
            left_out=tuple(map(_key, others[MOST_FOLDED:])),
        )
        for first, *others in alike.values()
    )


def asks_most_first(found: Finding) -> tuple[bool, bool]:
    """Sort key: what is open before what was settled, the work before how it was recorded."""
    return (not found.is_open, found.check.startswith(("stage.", "record.")))


def finding_key(stage: str, check: str, *where: str | None) -> str:
    """Where a finding stands on a page: made of what it judges, so that any list can lead there.

    Args:
        stage: of the finding.
        check: its key.
        where: area, bay and subject; None or nothing for what it does not name.
    """
    return "-".join(_NO_KEY.sub("-", part or "") for part in (stage, check, *where))


def _key(found: Finding) -> str:
    return finding_key(found.stage, found.check, found.area, found.bay, found.subject)


def _view(
    read: ReadJob,
    found: Finding,
    photos: Mapping[str, Sequence[Recorded[Photo]]],
    known: Sequence[Case],
) -> FindingView:
    may_raise = found.is_open and actor().may(Act.WRITE_NOTES)
    is_thing = found.telling.check.per in (Per.MIX, Per.LOT, Per.EDGE)
    subject = found.subject if is_thing else None
    bay = say("bay %(bay)s", bay=found.bay) if found.bay else None
    shown = [photo for file in found.photos for photo in photos.get(file, ())]
    shown += [photo for photo in _of_case(read, found, known) if photo not in shown]
    parts = (stage_title(read, found.stage), area_text(read.job, found.area), bay, subject)
    return FindingView(
        key=_key(found),
        text=begun(found.telling.check.quantity),
        place=", ".join(filter(None, parts)),
        judged=judged(found),
        limit=limit_text(found.limits, found.unit, found.telling.sourced),
        entries=tuple(
            url_for("roof.entry", job=read.id, entry=entry) for entry in found.entries[:_FEW]
        ),
        photos=photo_views(read, shown) if shown else (),
        is_open=found.is_open,
        remedy=remedy(read.id, found, known) if may_raise else None,
    )


def _of_case(read: ReadJob, found: Finding, known: Sequence[Case]) -> list[Recorded[Photo]]:
    """The photos of the open nonconformity about a finding that is open."""
    if not found.is_open:
        return []
    numbers = [one.raised.body.number for one in known if one.is_open and one.covers(found)]
    of_number = read.frame.photos_by
    return [photo for number in numbers for photo in of_number.get(("nonconformity", number), ())]

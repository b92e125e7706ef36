"""Findings as pages show them: what, where, how it stands, limit and source, photographs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.web.frame import actor
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.raising import raise_address
from qa.web.roof.wording import Judged, area_text, begun, judged, limit_text, stage_title


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingView:
    """One finding.

    Attributes:
        text: what was judged.
        place: stage, area, bay, subject.
        limit: with basis and source.
        entries: addresses of the entries that it rests on, the first few.
        raise_address: of the page that raises a nonconformity about it, or nothing.
    """

    text: str
    place: str
    judged: Judged
    limit: str
    entries: tuple[str, ...]
    photos: tuple[PhotoView, ...]
    raise_address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingGroup:
    """Findings of one check in one stage: the first is shown, the others fold away."""

    first: FindingView
    more: tuple[FindingView, ...]


_FEW = 3


def finding_groups(read: ReadJob, findings: Iterable[Finding]) -> tuple[FindingGroup, ...]:
    """Findings as a page shows them, in their order, those of one check together."""
    alike = grouped(findings, lambda found: (found.stage, found.check))
    return tuple(
        FindingGroup(first=_view(read, first), more=tuple(_view(read, found) for found in others))
        for first, *others in alike.values()
    )


def _view(read: ReadJob, found: Finding) -> FindingView:
    may_raise = found.is_open and actor().may(Act.WRITE_NOTES)
    ids = {entry.id for entry in read.job.entries}
    is_thing = found.telling.check.per.value in ("mix", "lot", "edge")
    subject = found.subject if found.subject not in ids and is_thing else None
    bay = f"bay {found.bay}" if found.bay else None
    files = set(found.photos)
    parts = (stage_title(read, found.stage), area_text(read.job, found.area), bay, subject)
    return FindingView(
        text=begun(found.telling.check.quantity),
        place=", ".join(filter(None, parts)),
        judged=judged(found),
        limit=limit_text(found.limits, found.unit, found.telling.sourced),
        entries=tuple(
            url_for("roof.entry", job=read.id, entry=entry) for entry in found.entries[:_FEW]
        ),
        photos=photo_views(read, (p for p in read.job.photos if p.body.file in files)),
        raise_address=raise_address(read.id, found) if may_raise else "",
    )

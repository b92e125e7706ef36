"""The record of a job: every entry in a line, by stage and kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flask import request, url_for

from qa.assess.stages import stage_of
from qa.record.entry import Entry
from qa.record.kinds.papers import Correction
from qa.record.registry import Kind
from qa.services.field_words import KIND_WORDS
from qa.services.reading import ReadJob, read_job
from qa.services.telling import Telling
from qa.texts.saying import say
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.form_fields import Option
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.roof.routing import blueprint
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import person_text

A_PAGE = 40
"""Entries on one page of the record."""
FIRST = "first"
"""The order in which the first entry comes first; else the last does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRow:
    """One entry.

    Attributes:
        number: its place in the record, from 0.
        line: what it says.
        told: when and by whom.
        changed: that it was put right or withdrawn since, or nothing.
    """

    number: int
    line: str
    told: str
    changed: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """What the list is narrowed to; None for all."""

    stage: Stage | None
    kind: Kind | None
    from_first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordPage:
    """The page.

    Attributes:
        total: how many entries the record has.
        shown: how many are of the chosen stage and kind.
        stages, kinds: what the list may be narrowed to.
        stage, kind: what it is narrowed to, or nothing.
    """

    top: JobTop
    rows: tuple[RecordRow, ...]
    total: int
    shown: int
    stages: tuple[Option, ...]
    kinds: tuple[Option, ...]
    stage: str
    kind: str
    from_first: bool
    pages: Pages


@blueprint.get("/jobs/<job>/record", endpoint="record")
def show_record(job: str) -> str:
    """The entries of a job, the last one first."""
    read = read_job(house(), actor(), job)
    asked, number = _filter(), page_number(request.args.get("page"))
    return render_page("roof/record.html", _page(read, asked, number))


def _filter() -> Filter:
    """What was asked for; what is no stage or kind is taken for all."""
    stage, kind = request.args.get("stage"), request.args.get("kind")
    return Filter(
        stage=Stage(stage) if stage in {one.value for one in Stage} else None,
        kind=Kind(kind) if kind in {one.value for one in Kind} else None,
        from_first=request.args.get("order") == FIRST,
    )


def _page(read: ReadJob, asked: Filter, number: int) -> RecordPage:
    found = [entry for entry in enumerate(read.job.entries) if _is_asked(entry[1], asked)]
    if not asked.from_first:
        found.reverse()
    start, telling, changed = (number - 1) * A_PAGE, telling_of(read), changed_entries(read)
    present = {entry.kind for entry in read.job.entries}
    return RecordPage(
        top=job_top(read),
        rows=tuple(
            _row(read, place, entry, telling, changed)
            for place, entry in found[start : start + A_PAGE]
        ),
        total=len(read.job.entries),
        shown=len(found),
        stages=tuple(Option(value=stage.value, label=telling.stage(stage)) for stage in Stage),
        kinds=tuple(Option(value=k.value, label=KIND_WORDS[k]) for k in Kind if k in present),
        stage=asked.stage.value if asked.stage else "",
        kind=asked.kind.value if asked.kind else "",
        from_first=asked.from_first,
        pages=pages(
            "roof.record",
            number,
            has_more=len(found) > start + A_PAGE,
            job=read.id,
            stage=asked.stage.value if asked.stage else None,
            kind=asked.kind.value if asked.kind else None,
            order=FIRST if asked.from_first else None,
        ),
    )


def _is_asked(entry: Entry, asked: Filter) -> bool:
    if asked.kind is not None and entry.kind is not asked.kind:
        return False
    return asked.stage is None or stage_of(entry.new_body or entry.body) is asked.stage


def changed_entries(read: ReadJob) -> Mapping[str, str]:
    """What became of every entry that was corrected, by its id."""
    return {
        entry.body.corrects: say("withdrawn since")
        if entry.body.body is None
        else say("put right since")
        for entry in read.job.entries
        if isinstance(entry.body, Correction)
    }


def _row(
    read: ReadJob, place: int, entry: Entry, telling: Telling, changed: Mapping[str, str]
) -> RecordRow:
    at = time_text(entry.at, read.job.time_zone, site_day(read))
    return RecordRow(
        number=place,
        line=telling.line(entry),
        told=f"{at}, {person_text(read.job, entry.by)}",
        changed=changed.get(entry.id, ""),
        address=url_for("roof.entry", job=read.id, entry=entry.id),
    )

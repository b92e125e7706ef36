"""A job on one page for the desk: findings first, then the stages as a story, plans and charts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.stages import releases_waiting
from qa.record.entry import Entry
from qa.record.kinds.papers import Correction
from qa.record.schema import Body
from qa.services.access import Act
from qa.services.reading import ReadJob, read_job
from qa.services.telling import ERASED
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.desk.job_charts import JobChart, job_charts
from qa.web.desk.lines import FROM_DESK
from qa.web.desk.routing import blueprint
from qa.web.desk.story import Story, led_to_viewer, stories
from qa.web.frame import actor, house, render_page
from qa.web.roof.entry import ChangeRow, changes
from qa.web.roof.finding_views import (
    FindingGroup,
    FindingView,
    asks_most_first,
    finding_groups,
)
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.nonconformity_pages import CaseLine, case_lines
from qa.web.roof.stage_views import EntryRow, StageFold, entry_row, stage_folds, telling_of
from qa.web.roof.wording import begun, person_text


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskStage:
    """One stage with its story.

    Attributes:
        decide: address of the page that releases or refuses it, for who may; else nothing.
        waits: whether a supervisor has yet to decide.
        ask: address of the page that asks for one more photograph.
    """

    key: str
    fold: StageFold
    story: Story
    waits: bool
    decide: str
    ask: str
    all_entries: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionView:
    """A correction with both versions.

    Attributes:
        what: the entry's line as it stood before.
        is_withdrawal: whether it took the entry back.
    """

    address: str
    what: str
    told: str
    reason: str
    is_withdrawal: bool
    changes: tuple[ChangeRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskJobPage:
    """The page.

    Attributes:
        open, undecided, settled: the findings, as the page of the findings has them.
        waiting: names of stages that wait for release, with their place on this page.
        raise_address: of the page that raises a nonconformity.
    """

    top: JobTop
    reference: str
    address: str
    time_zone: str
    open: tuple[FindingGroup, ...]
    undecided: tuple[FindingGroup, ...]
    settled: tuple[FindingGroup, ...]
    cases: tuple[CaseLine, ...]
    waiting: tuple[tuple[str, str], ...]
    stages: tuple[DeskStage, ...]
    charts: tuple[JobChart, ...]
    interruptions: tuple[EntryRow, ...]
    corrections: tuple[CorrectionView, ...]
    raise_address: str
    ask: str
    record: str
    packs: str
    bulk: str


@blueprint.get("/desk/jobs/<job>", endpoint="job")
def show_job(job: str) -> str:
    """The whole job."""
    return render_page("desk/job.html", _page(read_job(house(), actor(), job)))


def _page(read: ReadJob) -> DeskJobPage:
    found, here = read.assessment.findings, dict[str, Any](job=read.id)
    outside = sorted((f for f in found if f.verdict is Verdict.OUTSIDE), key=asks_most_first)
    address = read.job.opening.body.site.address
    stages = tuple(_stages(read))
    return DeskJobPage(
        top=job_top(read),
        reference=read.job.reference,
        address=address if isinstance(address, str) else ERASED,
        time_zone=str(read.job.time_zone),
        open=_groups(read, (one for one in outside if one.is_open)),
        undecided=_groups(read, (f for f in found if f.verdict is Verdict.UNDECIDED)),
        settled=_groups(read, (one for one in outside if not one.is_open)),
        cases=case_lines(read),
        waiting=tuple((f"#{one.key}", one.fold.title) for one in stages if one.waits),
        stages=stages,
        charts=job_charts(read),
        interruptions=tuple(_interruptions(read)),
        corrections=tuple(_corrections(read)),
        raise_address=url_for("roof.raise_nonconformity", **here),
        ask=url_for("desk.ask_photo", **here),
        record=url_for("roof.record", **here),
        packs=url_for("roof.packs", **here),
        bulk=url_for("roof.bulk", **here) if actor().may(Act.RECORD_WORK) else "",
    )


def _groups(read: ReadJob, findings: Iterable[Finding]) -> tuple[FindingGroup, ...]:
    """Findings whose photographs lead to where they are looked at closely."""

    def led(view: FindingView) -> FindingView:
        return replace(view, photos=led_to_viewer(read.id, view.photos))

    return tuple(
        replace(group, first=led(group.first), more=tuple(map(led, group.more)))
        for group in finding_groups(read, findings)
    )


def _stages(read: ReadJob) -> Iterator[DeskStage]:
    folds, told = stage_folds(read, site_day(read)), stories(read)
    waiting = {one.body.stage for one in releases_waiting(read.job, read.specification)}
    may_release = actor().may(Act.RELEASE)
    for stage in Stage:
        here: dict[str, Any] = {"job": read.id, "stage": stage.value}
        waits = stage in waiting
        decide = f"{url_for('roof.release', **here)}?from={FROM_DESK}#main"
        yield DeskStage(
            key=stage.value,
            fold=folds[stage],
            story=told[stage],
            waits=waits,
            decide=decide if waits and may_release else "",
            ask=url_for("desk.ask_photo", **here),
            all_entries=url_for("roof.record", **here),
        )


def _interruptions(read: ReadJob) -> Iterator[EntryRow]:
    telling, today = telling_of(read), site_day(read)
    for stop in read.job.interruptions:
        row = entry_row(read, stop.entry, telling, today)
        yield EntryRow(line=telling.body(stop.body), told=row.told, address=row.address)


def _corrections(read: ReadJob) -> Iterator[CorrectionView]:
    """Every correction in the order of the record, each against what stood before it."""
    telling, today = telling_of(read), site_day(read)
    standing: dict[str, Body | None] = {}
    for entry in read.job.entries:
        if not isinstance(entry.body, Correction):
            standing[entry.id] = entry.body
            continue
        before, after = standing[entry.body.corrects], entry.new_body
        standing[entry.body.corrects] = after
        at = time_text(entry.at, read.job.time_zone, today)
        yield CorrectionView(
            address=url_for("roof.entry", job=read.id, entry=entry.body.corrects),
            what=telling.body(before) if before else _first_line(read, entry),
            told=f"{begun(at)}, {person_text(read.job, entry.by)}",
            reason=entry.body.reason,
            is_withdrawal=after is None,
            changes=tuple(changes(before, after, telling)) if after else (),
        )


def _first_line(read: ReadJob, correction: Entry) -> str:
    """What an entry said first that was withdrawn before it was corrected once more."""
    assert isinstance(correction.body, Correction)
    corrects = correction.body.corrects
    return next(telling_of(read).line(one) for one in read.job.entries if one.id == corrects)

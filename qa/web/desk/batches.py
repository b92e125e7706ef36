"""Batches across jobs: the list, and everything that one of them went into."""

from __future__ import annotations

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from flask import request, url_for

from qa.services.tracing import A_PAGE, batches, trace_batch
from qa.store.batches import HoldingJob, LaidBatch, ListedBatch
from qa.texts.saying import say, say_count
from qa.web import clock
from qa.web.dates import time_text
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.stage_names import stage_name

LONGEST = 160


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLine:
    """A batch in the list."""

    address: str
    number: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchesPage:
    """The list of batches.

    Attributes:
        asked: what the number must begin with.
    """

    asked: str
    lines: tuple[BatchLine, ...]
    pages: Pages


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRow:
    """Where a batch went: mix or entry, stage, area, bays, when."""

    address: str
    what: str
    stage: str
    area: str
    bays: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldingView:
    """A job that holds the batch.

    Attributes:
        packs: address and words of each.
    """

    address: str
    title: str
    told: str
    laid: tuple[LaidRow, ...]
    packs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchPage:
    """A batch through every job."""

    number: str
    told: str
    jobs: tuple[HoldingView, ...]
    recall: str


@blueprint.get("/desk/batches", endpoint="batches")
def show_batches() -> str:
    """The firm's batches by number."""
    asked = " ".join(request.args.get("begins", "").split())[:LONGEST]
    number = page_number(request.args.get("page"))
    skip = (number - 1) * A_PAGE
    found = batches(house(), actor(), begins=asked, skip=skip, most=A_PAGE + 1)
    page = BatchesPage(
        asked=asked,
        lines=tuple(map(_line, found[:A_PAGE])),
        pages=pages("desk.batches", number, has_more=len(found) > A_PAGE, begins=asked or None),
    )
    return render_page("desk/batches.html", page)


@blueprint.get("/desk/batches/<path:batch>", endpoint="batch", merge_slashes=False)
def show_batch(batch: str) -> str:
    """Every job, area, bay, mix and pack that holds a batch."""
    held = trace_batch(house(), actor(), batch)
    page = BatchPage(
        number=held[0].batch_number,
        told="; ".join(sorted({f"{one.product} ({one.material})" for one in held})),
        jobs=tuple(map(_holding, held)),
        recall=url_for("desk.recall", batch=held[0].batch_number),
    )
    return render_page("desk/batch.html", page)


def _line(batch: ListedBatch) -> BatchLine:
    jobs = say_count("%(number)s job", "%(number)s jobs", batch.jobs)
    return BatchLine(
        address=url_for("desk.batch", batch=batch.batch_number),
        number=batch.batch_number,
        told=say(
            "%(product)s, %(material)s; in %(jobs)s",
            product=batch.product,
            material=batch.material,
            jobs=jobs,
        ),
    )


def _holding(job: HoldingJob) -> HoldingView:
    return HoldingView(
        address=url_for("desk.job", job=job.job_id),
        title=job.title,
        told=say(
            "%(reference)s; %(product)s, lot %(lot)s",
            reference=job.reference,
            product=job.product,
            lot=job.lot,
        ),
        laid=tuple(_laid(job, laid) for laid in job.laid),
        packs=tuple(
            (
                url_for("roof.pack", job=job.job_id, number=pack.number),
                say("Pack %(number)s, %(kind)s", number=pack.number, kind=pack.kind),
            )
            for pack in job.packs
        ),
    )


def _laid(job: HoldingJob, laid: LaidBatch) -> LaidRow:
    address = (
        url_for("roof.mix_made", job=job.job_id, mix=laid.mix)
        if laid.mix
        else url_for("roof.entry", job=job.job_id, entry=laid.entry_id)
    )
    zone = ZoneInfo(job.time_zone)
    return LaidRow(
        address=address,
        what=say("Mix %(mix)s", mix=laid.mix) if laid.mix else say("Used as it came"),
        stage=stage_name(laid.stage),
        area=laid.area,
        bays=", ".join(laid.bays.split()) or say("not named"),
        when=time_text(laid.at, zone, clock.now().astimezone(zone).date()),
    )

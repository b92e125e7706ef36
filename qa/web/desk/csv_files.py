"""The desk's lists as CSV, whole."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from flask import Response

from qa.services import desk, listing, people
from qa.services.csv_text import Cell, csv_text
from qa.services.tracing import batches, trace_batch
from qa.web import clock
from qa.web.account.role_words import words_of
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house

EVERYTHING = 1_000_000


@blueprint.get("/desk/jobs.csv")
def jobs_csv() -> Response:
    """Every job of the firm."""
    header = ("reference", "title", "address", "stage in hand", "outside limits",
              "stages waiting for release", "last entry (UTC)")  # fmt: skip
    found = listing.jobs(house(), actor(), most=EVERYTHING)
    rows = (
        (job.reference, job.title, job.address, job.stage, job.outside, job.waiting,
         job.last_received_at.isoformat())
        for job in found
    )  # fmt: skip
    return _file("jobs", header, rows)


@blueprint.get("/desk/findings.csv")
def findings_csv() -> Response:
    """Everything that is open, in every job."""
    header = ("reference", "title", "check", "stage", "area", "bay", "subject", "finding",
              "recorded late", "entry", "noted (UTC)")  # fmt: skip
    rows = (
        (found.job.reference, found.job.title, found.check, found.stage, found.area, found.bay,
         found.subject, found.exact, "yes" if found.late else "no", found.entry_id,
         found.noted_at.isoformat())
        for found in desk.findings(house(), actor(), most=EVERYTHING)
    )  # fmt: skip
    return _file("findings", header, rows)


@blueprint.get("/desk/releases.csv")
def releases_csv() -> Response:
    """Every stage that waits for a supervisor."""
    header = ("reference", "title", "address", "stage", "signed off by", "signed off (UTC)")
    rows = (
        (one.job.reference, one.job.title, one.job.address, one.stage, one.signed_by,
         one.signed_at.isoformat())
        for one in desk.releases(house(), actor(), most=EVERYTHING)
    )  # fmt: skip
    return _file("releases", header, rows)


@blueprint.get("/desk/batches.csv")
def batches_csv() -> Response:
    """Every batch, and how many jobs hold it."""
    found = batches(house(), actor(), most=EVERYTHING)
    rows = ((one.batch_number, one.product, one.material, one.jobs) for one in found)
    return _file("batches", ("batch number", "product", "material", "jobs"), rows)


@blueprint.get("/desk/people.csv")
def people_csv() -> Response:
    """Everybody of the firm."""
    everyone = people.everyone(house(), actor(), now=clock.now())
    rows = (
        (one.key, one.name, one.email, words_of(one.roles), one.competence,
         one.ended_at.isoformat() if one.ended_at else None)
        for one in (*everyone.here, *everyone.left)
    )  # fmt: skip
    return _file("people", ("key", "name", "email", "roles", "competence", "left (UTC)"), rows)


@blueprint.get("/desk/recalls/<path:batch>", merge_slashes=False)
def recall(batch: str) -> Response:
    """Every use of a batch, one line each; a job that holds it unused has a line too."""
    header = ("batch number", "product", "material", "reference", "title", "lot", "stage", "area",
              "bays", "mix", "entry", "when (UTC)", "packs")  # fmt: skip
    rows: list[Sequence[Cell]] = []
    for job in trace_batch(house(), actor(), batch):
        own = (job.batch_number, job.product, job.material, job.reference, job.title, job.lot)
        packs = " ".join(str(pack.number) for pack in job.packs)
        rows.extend(
            (*own, laid.stage, laid.area, laid.bays, laid.mix, laid.entry_id,
             laid.at.isoformat(), packs)
            for laid in job.laid
        )  # fmt: skip
        if not job.laid:
            rows.append((*own, None, None, None, None, None, None, packs))
    return _file("recall", header, rows)


def _file(name: str, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Response:
    answer = Response(
        csv_text(header, rows), content_type="text/csv; charset=utf-8; header=present"
    )
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return answer

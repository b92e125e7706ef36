"""The desk's lists as CSV, whole."""

from __future__ import annotations

from collections.abc import Sequence

from flask import Response, request

from qa.services import desk, listing, people
from qa.services.csv_text import Cell
from qa.services.searching import search
from qa.services.specifications import offered_versions
from qa.services.tracing import batches, trace_batch
from qa.specification.known_checks import KNOWN_CHECKS
from qa.store.desk_lists import ListedFinding
from qa.web import clock
from qa.web.account.role_words import words_of
from qa.web.csv_files import csv_file
from qa.web.desk.audit import draw_as_asked
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house

EVERYTHING = 1_000_000
LONGEST = 200
"""What is typed is cut to it, as on the pages."""


@blueprint.get("/jobs.csv")
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
    return csv_file("jobs", header, rows)


@blueprint.get("/desk/findings.csv")
def findings_csv() -> Response:
    """Everything that is open, in every job; of one check where one is asked for."""
    asked = request.args.get("check")
    check = asked if asked in KNOWN_CHECKS else None
    return _findings("findings", desk.findings(house(), actor(), check=check, most=EVERYTHING))


@blueprint.get("/desk/late.csv")
def late_csv() -> Response:
    """Everything that was recorded late, in every job."""
    return _findings("late", desk.findings(house(), actor(), late=True, most=EVERYTHING))


def _findings(name: str, findings: Sequence[ListedFinding]) -> Response:
    header = ("reference", "title", "check", "stage", "area", "bay", "subject", "finding",
              "recorded late", "entry", "noted (UTC)")  # fmt: skip
    rows = (
        (found.job.reference, found.job.title, found.check, found.stage, found.area, found.bay,
         found.subject, found.exact, "yes" if found.late else "no", found.entry_id,
         found.noted_at.isoformat())
        for found in findings
    )  # fmt: skip
    return csv_file(name, header, rows)


@blueprint.get("/desk/packs.csv")
def packs_csv() -> Response:
    """Every complete job without a handover pack that tells everything."""
    rows = (
        (due.job.reference, due.job.title, due.job.address, due.last_received_at.isoformat())
        for due in desk.packs_due(house(), actor(), most=EVERYTHING)
    )
    return csv_file("packs", ("reference", "title", "address", "last entry (UTC)"), rows)


@blueprint.get("/desk/messages.csv")
def messages_csv() -> Response:
    """Everything that came by links and is not answered."""
    rows = (
        (one.job.reference, one.job.title, one.job.address, one.face, one.received_at.isoformat())
        for one in desk.messages(house(), actor(), most=EVERYTHING)
    )
    header = ("reference", "title", "address", "by the link of", "came (UTC)")
    return csv_file("messages", header, rows)


@blueprint.get("/desk/search.csv")
def search_csv() -> Response:
    """Every job that holds what is looked for."""
    header = ("reference", "title", "address", "stage in hand")
    found = search(house(), actor(), request.args.get("q", "")[:LONGEST], most=EVERYTHING)
    rows = ((job.reference, job.title, job.address, job.stage) for job in found.jobs)
    return csv_file("search", header, rows)


@blueprint.get("/desk/audit.csv")
def audit_csv() -> Response:
    """The jobs that an audit draws, in the order of drawing."""
    drawn, _ = draw_as_asked()
    sample = () if drawn is None else drawn.sample
    rows = (
        (place, job.reference, job.title, drawn.asked.seed if drawn else None)
        for place, job in enumerate(sample, start=1)
    )
    return csv_file("audit", ("drawn", "reference", "title", "seed"), rows)


@blueprint.get("/desk/specifications.csv")
def specifications_csv() -> Response:
    """Every version that the firm's jobs may pin."""
    rows = (
        (one.name, one.made_by, one.made_at.isoformat() if one.made_at else None, one.note,
         one.sha256)
        for one in offered_versions(house(), actor())
    )  # fmt: skip
    header = ("version", "made by", "made (UTC)", "why", "sha256")
    return csv_file("specifications", header, rows)


@blueprint.get("/desk/releases.csv")
def releases_csv() -> Response:
    """Every stage that waits for a supervisor."""
    header = ("reference", "title", "address", "stage", "signed off by", "signed off (UTC)")
    rows = (
        (one.job.reference, one.job.title, one.job.address, one.stage, one.signed_by,
         one.signed_at.isoformat())
        for one in desk.releases(house(), actor(), most=EVERYTHING)
    )  # fmt: skip
    return csv_file("releases", header, rows)


@blueprint.get("/desk/batches.csv")
def batches_csv() -> Response:
    """Every batch, and how many jobs hold it; those whose number begins as asked for."""
    begins = " ".join(request.args.get("begins", "").split())[:LONGEST]
    found = batches(house(), actor(), begins=begins, most=EVERYTHING)
    rows = ((one.batch_number, one.product, one.material, one.jobs) for one in found)
    return csv_file("batches", ("batch number", "product", "material", "jobs"), rows)


@blueprint.get("/desk/people.csv")
def people_csv() -> Response:
    """Everybody of the firm."""
    everyone = people.everyone(house(), actor(), now=clock.now())
    rows = (
        (one.key, one.name, one.email, words_of(one.roles), one.competence,
         one.ended_at.isoformat() if one.ended_at else None)
        for one in (*everyone.here, *everyone.left)
    )  # fmt: skip
    return csv_file("people", ("key", "name", "email", "roles", "competence", "left (UTC)"), rows)


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
    return csv_file("recall", header, rows)

"""Jobs for programs: the list, one job, its record, its assessment, its folder."""

from __future__ import annotations

from flask import Response, jsonify, url_for

from qa.assess.finding import assessment_text
from qa.record.folder import record_text
from qa.services.listing import A_PAGE, jobs
from qa.services.reading import read_job
from qa.web.api.answers import listed_job, whole_job
from qa.web.api.asked import whole
from qa.web.api.routing import blueprint
from qa.web.frame import actor, house
from qa.web.roof import folders as roof_folders

_MOST = 1_000_000


@blueprint.get("/jobs", endpoint="jobs")
def list_jobs() -> Response:
    """The firm's jobs, the one with the latest entry first."""
    skip = whole("skip", default=0, least=0, most=_MOST)
    found = jobs(house(), actor(), skip=skip, most=A_PAGE + 1)
    following = url_for("api.jobs", skip=skip + A_PAGE) if len(found) > A_PAGE else None
    return jsonify(jobs=[listed_job(job) for job in found[:A_PAGE]], next=following)


@blueprint.get("/jobs/<job>", endpoint="job")
def show_job(job: str) -> Response:
    """One job as it stands."""
    return jsonify(whole_job(read_job(house(), actor(), job)))


@blueprint.get("/jobs/<job>/entries", endpoint="record")
def send_record(job: str) -> Response:
    """The record's lines as the ledger holds them, from one on."""
    first = whole("from", default=0, least=0, most=_MOST)
    entries = read_job(house(), actor(), job).record.entries
    return Response(record_text(entries[first:]), mimetype="application/x-ndjson")


@blueprint.get("/jobs/<job>/assessment", endpoint="assessment")
def send_assessment(job: str) -> Response:
    """What the job's assessment says, in the open format."""
    read = read_job(house(), actor(), job)
    return Response(assessment_text(read.assessment), mimetype="application/json")


@blueprint.get("/jobs/<job>/folder", endpoint="folder")
def send_folder(job: str) -> Response:
    """The job's folder as a zip file."""
    return roof_folders.send_folder(job)

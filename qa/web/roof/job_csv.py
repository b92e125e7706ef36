"""The lists of one job as CSV, whole."""

from __future__ import annotations

from flask import Response

from qa.errors import NotFoundError
from qa.services.linking import links_of
from qa.services.reading import read_job
from qa.texts.saying import say
from qa.web.csv_files import csv_file
from qa.web.frame import actor, house
from qa.web.roof.job_lists import LISTS
from qa.web.roof.routing import blueprint


@blueprint.get("/jobs/<job>/lists/<list_name>.csv")
def list_csv(job: str, list_name: str) -> Response:
    """One list of the job."""
    read = read_job(house(), actor(), job)
    chosen = LISTS.get(list_name)
    if chosen is None:
        raise NotFoundError(say("There is no such list of a job. Choose it on the job’s pages."))
    return csv_file(list_name, chosen.header, chosen.rows(read))


@blueprint.get("/jobs/<job>/links.csv")
def links_csv(job: str) -> Response:
    """The links that were made to the job, without the words that open them."""
    zone = read_job(house(), actor(), job).job.time_zone
    header = ("number", "face", "recipient", "names shown", "made by", "made", "works until",
              "ended", "visits", "last used")  # fmt: skip
    rows = (
        (link.id[-6:], link.face, link.recipient, "yes" if link.shows_personal else "no",
         link.made_by, *(
             at.astimezone(zone).isoformat() if at else None
             for at in (link.created_at, link.expires_at, link.ended_at)
         ), link.uses,
         link.last_used_at.astimezone(zone).isoformat() if link.last_used_at else None)
        for link in links_of(house(), actor(), job)
    )  # fmt: skip
    return csv_file("links", header, rows)

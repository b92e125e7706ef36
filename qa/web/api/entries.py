"""Entries of programs, taken into the record."""

from __future__ import annotations

from flask import jsonify, make_response
from flask.typing import ResponseReturnValue

from qa.services.reading import read_job
from qa.services.written_entries import record_written
from qa.web import clock
from qa.web.api.answers import receipt
from qa.web.api.asked import sent_json
from qa.web.api.routing import blueprint
from qa.web.frame import actor, house


@blueprint.post("/jobs/<job>/entries", endpoint="record_entries")
def record_entries(job: str) -> ResponseReturnValue:
    """Takes one entry or many, all or none; sent again, the first receipts are answered again."""
    read_job(house(), actor(), job)  # a job that is not there is told before what was sent
    given = record_written(house(), actor(), job, sent_json(), now=clock.now())
    status = 200 if all(one.repeated for one in given) else 201
    return make_response(jsonify(receipts=[receipt(one) for one in given]), status)

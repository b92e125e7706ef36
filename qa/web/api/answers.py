"""What the interface answers of jobs, packs and receipts, as JSON objects."""

from __future__ import annotations

from typing import Any

from flask import url_for

from qa.assess.finding import finding_json
from qa.services.reading import ReadJob
from qa.services.recording import Receipt
from qa.store.job_lists import ListedJob
from qa.store.papers import MadePack
from qa.web.roof.packs import pack_fault

JsonObject = dict[str, Any]


def listed_job(job: ListedJob) -> JsonObject:
    """A job in the list."""
    return {
        "id": job.id,
        "reference": job.reference,
        "title": job.title,
        "address": job.address,
        "time_zone": job.time_zone,
        "stage": job.stage,
        "outside": job.outside,
        "releases_waiting": job.waiting,
        "last_received_at": job.last_received_at.isoformat(),
        "self": url_for("api.job", job=job.id),
    }


def whole_job(read: ReadJob) -> JsonObject:
    """A job as it stands, and where the rest of it is."""
    job = read.job
    return {
        "id": read.id,
        "reference": job.reference,
        "title": job.opening.body.title,
        "specification": job.opening.body.specification,
        "time_zone": job.opening.body.time_zone,
        "stage": read.stage_in_hand,
        "record": {"entries": len(job.entries), "head": job.head},
        "crew": [{"person": one.person, "role": one.role} for one in job.crew.values()],
        "areas": [one.body.area for one in job.areas],
        "entries": url_for("api.record", job=read.id),
        "assessment": url_for("api.assessment", job=read.id),
        "packs": url_for("api.packs", job=read.id),
        "folder": url_for("api.folder", job=read.id),
    }


def receipt(given: Receipt) -> JsonObject:
    """The receipt of an entry."""
    return {
        "entry": given.entry,
        "seq": given.seq,
        "hash": given.hash,
        "received_at": given.received_at.isoformat(),
        "repeated": given.repeated,
        "findings": [finding_json(found) for found in given.findings],
    }


def pack(job: str, made: MadePack) -> JsonObject:
    """A pack, made or on its way."""
    return {
        "number": made.number,
        "kind": made.kind,
        "made": made.is_made,
        "waiting": made.is_on_its_way,
        "fault": pack_fault(made) or None,
        "asked_at": made.asked_at.isoformat(),
        "made_at": made.made_at.isoformat() if made.made_at else None,
        "program": made.program,
        "record": {"entries": made.entries, "head": made.head} if made.head else None,
        "sha256": made.sha256,
        "bytes": made.bytes,
        "state": url_for("api.pack", job=job, number=made.number),
        "file": (url_for("api.pack_file", job=job, number=made.number) if made.is_made else None),
    }

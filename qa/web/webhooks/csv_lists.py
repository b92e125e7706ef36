"""The webhooks of a firm, and what was sent by one, as CSV; the secrets are in neither."""

from __future__ import annotations

from flask import Response

from qa.services.webhook_reading import webhook_of, webhooks_of
from qa.web.csv_files import csv_file
from qa.web.frame import actor, house
from qa.web.webhooks.routing import blueprint


@blueprint.get("/webhooks.csv")
def register_csv() -> Response:
    """Every webhook."""
    header = ("id", "address", "events", "state", "because", "failures", "made (UTC)")
    rows = (
        (one.id, one.address, " ".join(one.events), one.state, one.because, one.failures,
         one.created_at.isoformat())
        for one in webhooks_of(house(), actor())
    )  # fmt: skip
    return csv_file("webhooks", header, rows)


@blueprint.get("/webhooks/<webhook>/deliveries.csv")
def deliveries_csv(webhook: str) -> Response:
    """What was sent last by one."""
    header = ("number", "event", "state", "attempts", "status", "fault", "written (UTC)",
              "settled (UTC)")  # fmt: skip
    rows = (
        (one.number, one.event, one.state, one.attempts, one.status, one.fault,
         one.written_at.isoformat(), one.settled_at.isoformat() if one.settled_at else None)
        for one in webhook_of(house(), actor(), webhook).deliveries
    )  # fmt: skip
    return csv_file("deliveries", header, rows)

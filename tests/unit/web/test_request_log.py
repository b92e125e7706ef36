"""The log: one JSON line a request, with its id, and nothing that anybody typed."""

from __future__ import annotations

import json
import logging

import pytest
from flask.testing import FlaskClient

from qa.services.access import Role
from tests.unit.web.conftest import Door, an_actor


def test_request_is_one_line_without_personal_data(
    client: FlaskClient, door: Door, things: str, caplog: pytest.LogCaptureFixture
) -> None:
    door.actor = an_actor(Role.OFFICE)
    with caplog.at_level(logging.INFO, logger="laidtrue.site"):
        answer = client.get(f"{things}?client=Ann+Invented", headers={"User-Agent": "a phone"})
    (record,) = caplog.records
    line = json.loads(record.getMessage())
    assert line.keys() == {
        "event", "level", "timestamp", "request", "method", "endpoint", "job", "status", "ms",
    }  # fmt: skip
    assert (line["method"], line["endpoint"], line["status"]) == ("GET", "things", 200)
    assert line["request"] == answer.headers["X-Request-ID"]

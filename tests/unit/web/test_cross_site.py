"""What another site makes a browser send is refused; what the site itself sends is not."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from qa.services.access import Role
from tests.unit.web.conftest import Door, an_actor


@pytest.fixture(autouse=True)
def signed_in(door: Door) -> None:
    door.actor = an_actor(Role.OFFICE)


def token(client: FlaskClient) -> str:
    found = re.search(r'name="csrf-token" content="([^"]+)"', client.get("/help").text)
    assert found
    return found[1]


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://elsewhere.example"},
        {"Origin": "http://localhost.elsewhere.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
    ids=str,
)
def test_change_asked_for_by_another_site_is_refused(
    client: FlaskClient, things: str, headers: dict[str, str]
) -> None:
    answer = client.post(things, data={"csrf_token": token(client)}, headers=headers)
    assert answer.status_code == 403
    assert "another address" in answer.text


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"},
        {"Origin": "http://localhost:8321"},
        {"Origin": "null", "Sec-Fetch-Site": "same-origin"},
    ],
    ids=str,
)
def test_change_asked_for_by_the_site_is_taken(
    client: FlaskClient, things: str, headers: dict[str, str]
) -> None:
    answer = client.post(things, data={"csrf_token": token(client)}, headers=headers)
    assert (answer.status_code, answer.text) == (200, "done")


def test_script_gives_the_token_in_a_header(client: FlaskClient, things: str) -> None:
    answer = client.post(things, json={}, headers={"X-CSRFToken": token(client)})
    assert answer.status_code == 200


@pytest.mark.parametrize("value", ["", "made-up"])
def test_change_without_the_sessions_token_is_not_made(
    client: FlaskClient, things: str, value: str
) -> None:
    answer = client.post(things, data={"csrf_token": value})
    assert answer.status_code == 400
    assert "done" not in answer.text


def test_reading_is_open_to_links_from_anywhere(client: FlaskClient, things: str) -> None:
    assert client.get(things, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200

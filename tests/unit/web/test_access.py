"""Who may reach a route: the table names them all, and the check is asked before anything else."""

from __future__ import annotations

from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient

from qa.services.access import MAY, Act, Role
from qa.web.access import ROUTES
from tests.unit.web.conftest import Door, an_actor


def test_every_route_is_in_the_table(app: Flask) -> None:
    endpoints = {rule.endpoint for rule in app.url_map.iter_rules()}
    assert endpoints - ROUTES.keys() == set()


def test_every_act_opens_some_route() -> None:
    assert set(Act) - set(ROUTES.values()) == set()


def test_route_that_is_not_listed_answers_nobody(
    app: Flask, client: FlaskClient, door: Door
) -> None:
    app.add_url_rule("/unlisted", "unlisted", lambda: "secret")
    door.actor = an_actor(*Role)
    answer = client.get("/unlisted")
    assert answer.status_code == 500
    assert "secret" not in answer.text


@pytest.mark.parametrize("role", Role)
def test_role_decides(client: FlaskClient, door: Door, things: str, role: Role) -> None:
    door.actor = an_actor(role)
    expected = 200 if role in MAY[Act.START_JOB] else 403
    assert client.get(things).status_code == expected


def test_person_without_a_role_may_do_nothing(client: FlaskClient, door: Door, things: str) -> None:
    door.actor = an_actor()
    answer = client.get(things)
    assert answer.status_code == 403
    assert "may not start a job" in answer.text


def test_who_owes_a_second_proof_is_led_to_it(client: FlaskClient, door: Door, things: str) -> None:
    door.actor = replace(an_actor(Role.OFFICE), owes_second_factor=True)
    answer = client.get(things)
    assert answer.status_code == 303
    assert answer.location.startswith("/sign-in")
    assert client.post(things, data={"x": "y"}).status_code == 401

"""Errors: every status has its page, in HTML and in JSON; a way on; and no trace leaves."""

from __future__ import annotations

import logging

import pytest
from flask import Flask, abort
from flask.testing import FlaskClient

from qa import errors
from qa.errors import (
    HTTP_STATUS,
    ConflictError,
    LaidtrueError,
    NotFoundError,
    NotSignedInError,
    Problem,
    RecordError,
    StoreError,
    TooLargeError,
    TooOftenError,
)
from qa.services.access import Role
from qa.web import access
from qa.web.error_words import WORDS, words_of
from qa.web.errors import status_of
from tests.unit.web.conftest import Door, an_actor

JSON = {"Accept": "application/json"}
SECRET = "the words of somebody"
RAISED: dict[int, Exception] = {
    400: RecordError((Problem(place="", sentence="mix.kg is −3.", field="mix.kg"),)),
    403: errors.NotAllowedError("Tam may not do this."),
    404: NotFoundError("There is no such job."),
    409: ConflictError("The entry is there.", entry="e-1", held="a" * 64, sent="b" * 64),
    413: TooLargeError("The photograph has 200 MB; at most 64 MB are taken."),
    429: TooOftenError("Too many tries.", again_in_s=30),
    500: StoreError(SECRET),
}


@pytest.fixture(autouse=True)
def failing(app: Flask, door: Door, monkeypatch: pytest.MonkeyPatch) -> None:
    """Routes that fail: /fail/<status> as the program does, /abort/<status> as the server does."""

    @app.route("/fail/<int:status>", methods=["GET", "POST"], endpoint="fail")
    def fail(status: int) -> str:
        raise RAISED[status]

    @app.route("/unexpected", endpoint="unexpected")
    def unexpected() -> str:
        raise KeyError(SECRET)

    @app.get("/abort/<int:status>", endpoint="abort")
    def stop(status: int) -> str:
        abort(status)

    anyone = dict.fromkeys(("fail", "unexpected", "abort"), access.Anyone.AT_ALL)
    monkeypatch.setattr(access, "ROUTES", {**access.ROUTES, **anyone})
    app.config["WTF_CSRF_ENABLED"] = False


def test_every_status_of_the_table_has_words() -> None:
    assert {*HTTP_STATUS.values(), 413, 429} <= WORDS.keys()


@pytest.mark.parametrize("status", WORDS)
def test_every_status_has_its_page(client: FlaskClient, status: int) -> None:
    answer = client.get(f"/abort/{status}")
    assert (answer.status_code, answer.mimetype) == (status, "text/html")
    assert f"<h1>{WORDS[status].title}</h1>" in answer.text
    assert WORDS[status].next_step in answer.text
    assert answer.headers["X-Request-ID"] in answer.text


@pytest.mark.parametrize("status", WORDS)
def test_every_status_has_its_json(client: FlaskClient, status: int) -> None:
    answer = client.get(f"/abort/{status}", headers=JSON)
    assert (answer.status_code, answer.mimetype) == (status, "application/json")
    assert answer.json is not None
    error = answer.json["error"]
    assert (error["status"], error["title"]) == (status, WORDS[status].title)
    assert error["request"] == answer.headers["X-Request-ID"]


@pytest.mark.parametrize("status", sorted(set(RAISED) - {500}))
def test_error_of_the_program_says_its_sentence(client: FlaskClient, status: int) -> None:
    page, data = client.get(f"/fail/{status}"), client.get(f"/fail/{status}", headers=JSON)
    assert (page.status_code, data.status_code) == (status, status)
    assert str(RAISED[status]).splitlines()[0] in page.text
    assert data.json is not None
    assert data.json["error"]["sentence"] == str(RAISED[status])


@pytest.mark.parametrize("path", ["/unexpected", "/fail/500"])
@pytest.mark.parametrize("headers", [{}, JSON], ids=["page", "json"])
def test_no_trace_and_no_word_of_it_leaves(
    client: FlaskClient,
    path: str,
    headers: dict[str, str],
    caplog: pytest.LogCaptureFixture,
) -> None:
    with caplog.at_level(logging.INFO):
        answer = client.get(path, headers=headers)
    assert answer.status_code == 500
    for told in ("Traceback", "KeyError", "StoreError", SECRET, ".py"):
        assert told not in answer.text
    assert "test_errors.py" in caplog.text
    assert answer.headers["X-Request-ID"] in caplog.text
    assert SECRET not in caplog.text


def test_fault_while_asking_who_is_there_still_has_its_page(
    app: Flask, client: FlaskClient, door: Door
) -> None:
    def broken() -> None:
        raise StoreError("The disk is gone.")

    app.extensions["laidtrue"].sign_in = type(app.extensions["laidtrue"].sign_in)(
        recognise=broken, ask=door.ask
    )
    answer = client.get("/unexpected")
    assert answer.status_code == 500
    assert WORDS[500].title in answer.text


def test_conflict_shows_both_digests_and_the_way_on(
    app: Flask, client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    @app.post("/jobs/<job>/things", endpoint="thing")
    def thing(job: str) -> str:
        raise RAISED[409]

    anyone = {"thing": access.Anyone.AT_ALL}
    monkeypatch.setattr(access, "ROUTES", {**access.ROUTES, **anyone})
    answer = client.post("/jobs/j-1/things", data={"x": "y"})
    assert answer.status_code == 409
    assert "a" * 12 in answer.text
    assert "b" * 12 in answer.text
    assert 'href="/jobs/j-1/record/e-1"' in answer.text
    assert 'href="/jobs/j-1/record/e-1/correct"' in answer.text


def test_conflict_apart_from_a_job_leads_to_the_jobs(client: FlaskClient) -> None:
    assert 'class="go" href="/"' in client.get("/fail/409").text


def test_problems_of_a_record_are_told_in_json(client: FlaskClient) -> None:
    answer = client.get("/fail/400", headers=JSON)
    assert answer.json is not None
    assert answer.json["error"]["problems"] == [{"field": "mix.kg", "sentence": "mix.kg is −3."}]


def test_too_often_says_when_it_may_be_again(client: FlaskClient) -> None:
    assert client.get("/fail/429").headers["Retry-After"] == "30"


def test_wrong_method_says_what_is_allowed(client: FlaskClient) -> None:
    answer = client.post("/help")
    assert answer.status_code == 405
    assert "GET" in answer.headers["Allow"]


def test_rare_status_takes_the_words_of_its_family() -> None:
    assert words_of(418) is WORDS[400]
    assert words_of(503) is WORDS[500]


def test_way_back_is_a_page_of_the_site_only(client: FlaskClient) -> None:
    ours = client.post("/fail/403", headers={"Referer": "http://localhost/jobs/j/mix?x=1"})
    assert 'class="go" href="/jobs/j/mix"' in ours.text
    foreign = client.post("/fail/403", headers={"Referer": "http://elsewhere.example/jobs"})
    assert 'class="go" href="/"' in foreign.text


def test_body_that_is_too_large_has_its_page(app: Flask, client: FlaskClient) -> None:
    app.config["MAX_CONTENT_LENGTH"] = 1000
    app.config["WTF_CSRF_ENABLED"] = True
    answer = client.post("/fail/403", data={"x": "y" * 2000})
    assert answer.status_code == 413
    assert WORDS[413].title in answer.text


def test_body_that_is_too_large_has_its_page_for_nobody_too(
    app: Flask, client: FlaskClient, things: str
) -> None:
    app.config["MAX_CONTENT_LENGTH"] = 1000
    assert client.post(things, data={"x": "y" * 2000}).status_code == 413


def test_signed_in_person_is_greeted_on_an_error_page(client: FlaskClient, door: Door) -> None:
    door.actor = an_actor(Role.OFFICE)
    assert "Tam Invented" in client.get("/abort/404").text


@pytest.mark.parametrize(
    "error",
    [kind for kind in vars(errors).values() if isinstance(kind, type)],
    ids=lambda kind: kind.__name__,
)
def test_every_error_has_a_status(error: type) -> None:
    if issubclass(error, LaidtrueError):
        assert status_of(error.__new__(error)) in WORDS


def test_nobody_is_sent_to_sign_in_and_back(client: FlaskClient, things: str) -> None:
    answer = client.get(f"{things}?of=x")
    assert (answer.status_code, answer.location) == (303, "/sign-in?next=/things?of%3Dx")


def test_nobody_is_told_so_in_json(client: FlaskClient, things: str, door: Door) -> None:
    answer = client.post(things, json={}, headers=JSON)
    assert answer.status_code == 401
    assert door.held == []
    assert isinstance(NotSignedInError("x"), LaidtrueError)


def test_error_page_is_sent_compressed(client: FlaskClient) -> None:
    plain = client.get("/abort/404")
    packed = client.get("/abort/404", headers={"Accept-Encoding": "br"})
    assert (packed.status_code, packed.headers["Content-Encoding"]) == (404, "br")
    assert len(packed.data) < len(plain.data) / 2

"""A form that was sent after the sign-in had ended: nothing typed is lost."""

from __future__ import annotations

from io import BytesIO

from flask import Flask
from flask.testing import FlaskClient

from qa.services.access import Role
from qa.web.held_forms import FIELD, held_value, hold_sent_form, offer_again, read_held
from tests.unit.web.conftest import Door, an_actor

TYPED = {"name": "Ann “O’Hara” <b>", "csrf_token": "old", "entry_id": "an-id"}


def hold(app: Flask, **kwargs: object) -> str | None:
    with app.test_request_context("/jobs/new", method="POST", **kwargs):  # type: ignore[arg-type]
        return hold_sent_form()


def test_held_form_comes_back_whole(app: Flask) -> None:
    held = hold(app, data={**TYPED, "areas": ["a", "b"]})
    with app.test_request_context():
        form = read_held(held)
    assert form is not None
    assert form.address == "/jobs/new"
    assert [(field.name, field.value) for field in form.fields] == [
        ("name", TYPED["name"]), ("entry_id", "an-id"), ("areas", "a"), ("areas", "b"),
    ]  # fmt: skip
    assert not form.had_files


def test_held_form_says_that_a_photograph_is_missing(app: Flask) -> None:
    held = hold(app, data={"word": "x", "photo": (BytesIO(b"jpeg"), "roof.jpg")})
    with app.test_request_context():
        form = read_held(held)
        page = offer_again(held)
    assert form is not None
    assert form.had_files
    assert page is not None
    assert "take it again" in page


def test_nothing_is_held_of_a_page_that_was_only_read(app: Flask) -> None:
    with app.test_request_context("/jobs/new"):
        assert hold_sent_form() is None


def test_changed_value_holds_nothing(app: Flask) -> None:
    held = hold(app, data=TYPED)
    assert held is not None
    with app.test_request_context():
        assert read_held(held[:-1] + ("A" if held[-1] != "A" else "B")) is None
        assert read_held(None) is None
        assert offer_again("") is None


def test_sign_in_page_carries_only_a_good_value(app: Flask) -> None:
    held = hold(app, data=TYPED)
    with app.test_request_context("/sign-in", method="POST", data={FIELD: held}):
        assert held_value() == held
    with app.test_request_context("/sign-in", method="POST", data={FIELD: "made up"}):
        assert held_value() is None


def test_offer_has_a_fresh_token_and_escapes_what_was_typed(app: Flask) -> None:
    held = hold(app, data=TYPED)
    with app.test_request_context():
        page = offer_again(held)
    assert page is not None
    assert 'action="/jobs/new"' in page
    assert "Ann “O’Hara” &lt;b&gt;" in page
    assert 'value="old"' not in page
    assert "Save it now" in page


def test_form_sent_by_nobody_is_held_for_the_sign_in(
    app: Flask, client: FlaskClient, door: Door, things: str
) -> None:
    assert client.post(things, data=TYPED).status_code == 401
    with app.test_request_context():
        form = read_held(door.held[0])
    assert form is not None
    assert form.address == things


def test_form_from_before_the_last_sign_in_is_offered_again(
    client: FlaskClient, door: Door, things: str
) -> None:
    door.actor = an_actor(Role.OFFICE)
    answer = client.post(things, data=TYPED)
    assert answer.status_code == 400
    assert "You were signed out before this was saved" in answer.text

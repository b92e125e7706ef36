"""Saving: when something was, what is said, and that nothing typed is lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import ClassVar
from zoneinfo import ZoneInfo

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import Problem, RecordError
from qa.web import access
from qa.web.forms import EarlierField, NumberField, SiteForm
from qa.web.saving import Moment, Receipt, moment_of, said, saved

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 5, 12, 9, 42, 30, tzinfo=UTC)


@dataclass(frozen=True)
class Kept:
    entry: str = "entry"
    repeated: bool = False


class Weighing(SiteForm):
    PATHS: ClassVar = {"weight": "kg"}

    weight = NumberField("Weight", unit="kg")
    catalyst_ml = NumberField("Catalyst")
    earlier = EarlierField("It was earlier")


@pytest.fixture
def saves(app: Flask, monkeypatch: pytest.MonkeyPatch) -> list[Moment]:
    """A page /weigh with a form; the moments that it saved with."""
    moments: list[Moment] = []
    app.config["WTF_CSRF_ENABLED"] = False
    routes = {**access.ROUTES, "weigh": access.Anyone.AT_ALL}
    monkeypatch.setattr(access, "ROUTES", routes)

    @app.route("/weigh", methods=["GET", "POST"], endpoint="weigh")
    def weigh() -> object:
        form = Weighing()

        def save(moment: Moment) -> Sequence[Receipt]:
            if form.weight.data == -3:
                raise RecordError(tuple(problems()))
            moments.append(moment)
            return (Kept(),)

        return saved(form, save, "/help", lambda: sheet(form), zone=LONDON)

    return moments


def problems() -> Sequence[Problem]:
    def problem(field: str, rest: str) -> Problem:
        return Problem(place="", field=field, sentence=f"{field} {rest}")

    return (
        problem("mix.kg", "is −3; a mix weighs more than nothing."),
        problem("mix.catalyst_ml", "is missing."),
        problem("mix.area", "names no area."),
    )


def sheet(form: SiteForm) -> str:
    return "\n".join(f"{trouble.field_id}|{trouble.sentence}" for trouble in form.troubles) + str(
        [field.typed for field in form.shown_fields]
    )


def moment(client: FlaskClient, saves: list[Moment], **values: object) -> Moment:
    client.post("/weigh", data={"weight": "5", **values})
    return saves[-1]


def test_save_leads_on_and_says_so(client: FlaskClient, saves: list[Moment]) -> None:
    answer = client.post("/weigh", data={"weight": "5,2", "entry_id": "an-id"})
    assert (answer.status_code, answer.location) == (303, "/help")
    page = client.get("/help").text
    assert 'data-saved="an-id">Saved, ' in page
    assert "Saved," not in client.get("/help").text


def test_save_answers_a_script_in_json(client: FlaskClient, saves: list[Moment]) -> None:
    answer = client.post(
        "/weigh", data={"weight": "5", "entry_id": "an-id"}, headers={"Accept": "application/json"}
    )
    assert answer.json is not None
    assert answer.json["saved"] is True
    assert (answer.json["then"], answer.json["entry"]) == ("/help", "an-id")
    assert "data-saved" not in client.get("/help").text


def test_unreadable_value_is_shown_again(client: FlaskClient, saves: list[Moment]) -> None:
    answer = client.post("/weigh", data={"weight": "five", "catalyst_ml": "90"})
    assert answer.status_code == 400
    assert "weight|“five” is no figure" in answer.text
    assert "['five', '90', '']" in answer.text
    assert saves == []


def test_fault_of_the_record_stands_at_its_field(client: FlaskClient, saves: list[Moment]) -> None:
    answer = client.post("/weigh", data={"weight": "-3"})
    assert answer.status_code == 400
    assert answer.text.splitlines()[:3] == [
        "|mix.area names no area.",
        "weight|Weight is −3; a mix weighs more than nothing.",
        "catalyst_ml|Catalyst is missing.['-3', '', '']",
    ]


def test_faults_are_told_to_a_script_in_json(client: FlaskClient, saves: list[Moment]) -> None:
    answer = client.post("/weigh", data={"weight": "-3"}, headers={"Accept": "application/json"})
    assert answer.status_code == 400
    assert answer.json is not None
    assert answer.json["problems"][1]["field"] == "weight"


def test_time_without_script_is_the_servers(client: FlaskClient, saves: list[Moment]) -> None:
    when = moment(client, saves)
    assert when.at == when.now.replace(microsecond=0)
    assert when.at.tzinfo is LONDON
    assert when.at_is_reckoned


def test_told_time_wins_over_reckoned_time(client: FlaskClient, saves: list[Moment]) -> None:
    when = moment(client, saves, earlier=["2026-05-12", "08:40"], phone_now=NOW.isoformat())
    assert when.at.isoformat() == "2026-05-12T08:40:00+01:00"
    assert not when.at_is_reckoned


def reckoned(app: Flask, *, noted_at: str, phone_now: str) -> Moment:
    with app.test_request_context("/", method="POST"):
        form = Weighing(noted_at=noted_at, phone_now=phone_now, meta={"csrf": False})
        return moment_of(form, now=NOW, zone=LONDON)


@given(
    off_min=st.integers(-2_000_000, 2_000_000),
    waited_s=st.integers(0, 14 * 24 * 3600),
)
def test_wrong_phone_clock_does_no_harm(off_min: int, waited_s: int) -> None:
    app = _bare_app()
    phone_now = NOW + timedelta(minutes=off_min)
    noted_at = phone_now - timedelta(seconds=waited_s)
    when = reckoned(app, noted_at=noted_at.isoformat(), phone_now=phone_now.isoformat())
    assert when.at == NOW - timedelta(seconds=waited_s)
    assert when.phone_off == timedelta(minutes=off_min)


@pytest.mark.parametrize(
    ("noted_at", "phone_now"),
    [
        ("", ""),
        ("yesterday", "2026-05-12T09:00:00Z"),
        ("2026-05-12T09:00:00", "2026-05-12T09:00:00"),
        ("2026-05-12T09:00:01Z", "2026-05-12T09:00:00Z"),
        ("2026-04-12T09:00:00Z", "2026-05-12T09:00:00Z"),
    ],
)
def test_times_that_cannot_be_are_not_used(noted_at: str, phone_now: str) -> None:
    assert reckoned(_bare_app(), noted_at=noted_at, phone_now=phone_now).at == NOW


def at(off: timedelta | None) -> Moment:
    return Moment(at=NOW.astimezone(LONDON), now=NOW, phone_off=off)


@pytest.mark.parametrize("minutes", [-5, 0, 5])
def test_small_difference_of_clocks_is_not_told(minutes: int) -> None:
    assert said(at(timedelta(minutes=minutes)), [Kept()], "Saved") == "Saved, 10:42."


@pytest.mark.parametrize(
    ("off", "words"),
    [
        (timedelta(minutes=6), "6 min ahead"),
        (timedelta(hours=-2, minutes=-5), "2 h 5 min behind"),
        (timedelta(hours=1), "1 h ahead"),
        (timedelta(days=1), "1 day ahead"),
        (timedelta(days=-2, hours=-3), "2 days 3 h behind"),
    ],
)
def test_wrong_clock_is_told_in_words(off: timedelta, words: str) -> None:
    assert f"This phone’s clock is {words}." in said(at(off), [Kept()], "Saved")


def test_repeated_save_says_that_it_stands_once() -> None:
    assert "stands once" in said(at(None), [Kept(repeated=True)], "Saved")
    assert said(at(None), [Kept(repeated=True), Kept()], "Signed off") == "Signed off, 10:42."


def _bare_app() -> Flask:
    """An application for forms alone, which need an id and no more."""
    app = Flask("forms")
    app.secret_key = "for this test"
    installation = SimpleNamespace(new_id=lambda: "an-id")
    app.extensions["laidtrue"] = SimpleNamespace(installation=installation)
    return app

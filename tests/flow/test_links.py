"""Links from the firm's page to both faces: made, shown once, ended; what opens nothing."""

from __future__ import annotations

import json
import logging
import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient
from playwright.sync_api import Browser

from qa.services.access import Role
from qa.services.linking import DOES_NOT_WORK, Face, end_link, links_of
from qa.services.starting import start_job
from qa.web import clock
from tests.examples import minimal
from tests.flow.browser import DESK, PHONE, ServedSite, open_page
from tests.flow.link_holder import add_photo, holder, photo_with_place
from tests.flow.roof_visitor import RoofSite, Visitor, begin_roof
from tests.pictures.jobs import clock_at

FACES = pytest.mark.parametrize("face", Face)
WRITING = {Face.HOMEOWNER: "report", Face.INSURER: "questions"}


def made_address(roof: RoofSite, **typed: str) -> str:
    page = roof.as_(Role.OFFICE).open(f"{roof.job}/links")
    answer = page.send(**{"recipient": "Ann Invented", "face": "homeowner", **typed})
    assert answer.status_code == 200, answer.text
    found = re.search(r"<textarea[^>]*>([^<]+)</textarea>", answer.text)
    assert found
    return found[1].removeprefix(roof.site.origin)


def refused(client: FlaskClient, path: str) -> str:
    """The page of refusal, without the number of its request."""
    answer = client.get(path)
    assert answer.status_code == 404
    return re.sub(r"[0-9a-f]{12}", "", answer.text)


def test_link_is_made_shown_once_and_ended(roof: RoofSite) -> None:
    path = made_address(roof)
    client = roof.site.app.test_client()
    assert "Garage roof" in client.get(path).text
    page = roof.as_(Role.OFFICE).open(f"{roof.job}/links")
    assert "Ann Invented" in page.text
    assert "1 visit" in page.text
    assert path.split("/")[2] not in page.text
    end = re.search(r'action="([^"]+/end)"', page.text)
    assert end
    token = page.fields["csrf_token"]
    assert page.client.post(end[1], data={"csrf_token": token}).status_code == 303
    assert DOES_NOT_WORK in refused(client, path)
    assert "Ended" in roof.as_(Role.OFFICE).open(f"{roof.job}/links").text


@FACES
def test_all_that_opens_nothing_is_one_page(roof: RoofSite, face: Face) -> None:
    house, owner = roof.site.installation, roof.site.actor(Role.OWNER)
    other = next(one for one in Face if one is not face)
    ended = holder(roof, face)
    end_link(house, owner, roof.job_id, links_of(house, owner, roof.job_id)[0].id, now=clock.now())
    old = holder(roof, face, days=1, now=clock.now() - timedelta(days=2))
    of_the_other = holder(roof, other).path.replace(f"/{other.letter}/", f"/{face.letter}/")
    client = roof.site.app.test_client()
    guessed = f"/{face.letter}/{'A' * 43}/"
    pages = {refused(client, path) for path in (ended.path, old.path, of_the_other, guessed)}
    assert len(pages) == 1
    below = {refused(client, f"{one}{WRITING[face]}") for one in (ended.path, old.path)}
    assert below == pages


@FACES
def test_every_answer_is_private_and_tells_no_address(roof: RoofSite, face: Face) -> None:
    one = holder(roof, face)
    client = one.visitor.client
    below = ["", WRITING[face]]
    below += ["care.ics", "inspections"] if face is Face.HOMEOWNER else ["record", "folder.zip"]
    for path in [*(one.path + part for part in below), f"/{face.letter}/guess/"]:
        with client.get(path) as answer:
            assert answer.headers["Referrer-Policy"] == "no-referrer", path
            assert "noindex" in answer.headers["X-Robots-Tag"], path
            assert answer.headers["Cache-Control"].startswith("private"), path
    assert "Set-Cookie" not in client.get(one.path).headers
    assert "<script" not in client.get(one.path).text


@FACES
def test_log_names_the_link_and_not_its_word(
    roof: RoofSite, face: Face, caplog: pytest.LogCaptureFixture
) -> None:
    one = holder(roof, face)
    with caplog.at_level(logging.INFO):
        one.open()
        one.open("no/such/page")
        roof.site.app.test_client().get(f"/{face.letter}/{'g' * 43}/")
    written = "\n".join(record.getMessage() for record in caplog.records)
    assert one.path.split("/")[2] not in written
    assert "g" * 43 not in written
    kept = links_of(roof.site.installation, roof.site.actor(Role.OWNER), roof.job_id)[0]
    assert json.loads(caplog.records[0].getMessage())["link"] == kept.id


def test_thousand_guesses_meet_the_limiter_after_ten(roof: RoofSite) -> None:
    client, answers = roof.site.app.test_client(), []
    for number in range(1000):
        face = "he"[number % 2]
        answers.append(client.get(f"/{face}/guess-{number}/").status_code)
    assert answers == [404] * 10 + [429] * 990


def test_link_of_another_job_opens_nothing_of_this(roof: RoofSite, site: ServedSite) -> None:
    digest = add_photo(roof, photo_with_place())
    entry = roof.read().job.entries[-1].id
    assert holder(roof, Face.INSURER).open(f"record/{entry}").status == 200
    second = begin_second(site)
    insurer, owner = holder(second, Face.INSURER), holder(second, Face.HOMEOWNER)
    assert insurer.open(f"record/{entry}").status == 404
    for one in (insurer, owner):
        assert one.fetch(f"photos/{digest}/list")[0] == 404
    assert insurer.fetch(f"photos/{digest}/original")[0] == 404
    assert owner.fetch(f"photos/{'0' * 64}/list")[0] == 404


def begin_second(site: ServedSite) -> RoofSite:
    """Another job of the same firm."""
    actor, now = site.actor(Role.INSTALLER), clock.now()
    crew = [{"person": actor.key, "name": actor.name, "role": "installer"}]
    body = minimal("job") | {"job": "J-OTHER", "crew": crew}
    job = start_job(
        site.installation, actor, body, entry_id=site.installation.new_id(), at=now, now=now
    )
    return RoofSite(site=site, job_id=job)


def test_link_ends_by_itself(roof: RoofSite) -> None:
    one = holder(roof, Face.HOMEOWNER, days=1)
    with clock_at(clock.now() + timedelta(days=1)):
        assert one.open().status == 404


@pytest.mark.parametrize(
    "typed",
    [{"recipient": ""}, {"face": "burglar"}, {"days": "0"}, {"days": "-1"}, {"days": "x"}],
    ids=str,
)
def test_link_that_cannot_be_is_refused_in_its_field(roof: RoofSite, typed: dict[str, str]) -> None:
    page = roof.as_(Role.OFFICE).open(f"{roof.job}/links")
    answer = page.send(**{"recipient": "Ann", "face": "homeowner", **typed})
    assert answer.status_code == 400
    assert "Not made yet" in answer.text


def test_installer_makes_no_link(roof: RoofSite) -> None:
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/links").status == 403


def test_form_is_sent_from_a_page_that_tells_no_address(site: ServedSite, browser: Browser) -> None:
    """A browser sends the origin “null” from such a page; it must be taken all the same."""
    roof = begin_roof(site)
    for face, size in ((Face.HOMEOWNER, PHONE), (Face.INSURER, DESK)):
        one = holder(roof, face)
        with open_page(browser, size, script=False) as page:
            page.goto(f"{site.origin}{one.path}{WRITING[face]}")
            page.get_by_role("textbox").fill("Is this <b>as it was</b>?")
            page.get_by_role("button", name="Send it to the firm").click()
            assert "Sent to the firm" in page.inner_text("main")
            assert "Is this <b>as it was</b>?" in page.inner_text("main")
    assert Visitor(client=site.app.test_client()).open("/").status == 303

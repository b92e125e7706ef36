"""Accounts as people meet them: from the first link to the last sign-out, without a script."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pyotp
import pytest
from flask import Flask

from qa import create_app
from qa.services.access import Role
from qa.services.installation import Installation, open_installation
from qa.services.keeper import add_person, end_person, reset_second_factor
from qa.services.own_account import Appearance, own_account
from qa.services.typed_people import read_person
from qa.settings import Settings
from qa.web import clock
from tests.accounts import PASSWORD, acting, add_account, add_firm
from tests.flow.account_visitor import Visitor, visitor

NEW_PASSWORD = "cold wind from the north"
DARK = '<html lang="en-GB" data-appearance="dark">'


@pytest.fixture
def installation(tmp_path: Path, migrated_file: Path) -> Iterator[Installation]:
    """An installation of the test's own."""
    shutil.copyfile(migrated_file, tmp_path / "laidtrue.db")
    opened = open_installation(Settings(instance=tmp_path, origin="http://localhost"))
    yield opened
    opened.store.engine.dispose()


@pytest.fixture
def app(installation: Installation) -> Flask:
    """The site."""
    return create_app(installation.settings, installation=installation)


@pytest.fixture
def firm(installation: Installation) -> str:
    """A firm with one person of each role."""
    firm = add_firm(installation, "Invented Roofs")
    for key, role in (
        ("nell", Role.INSTALLER),
        ("orla", Role.SUPERVISOR),
        ("ona", Role.OFFICE),
        ("ives", Role.OWNER),
    ):
        add_account(installation, firm, key, role)
    return firm


def in_the_site(app: Flask, key: str) -> Visitor:
    visit = visitor(app)
    visit.sign_in(key)
    visit.open("/me")
    assert visit.path == "/me", visit.text
    return visit


def link_on(visit: Visitor) -> str:
    found = re.search(r"http://localhost(/invitations/[\w-]+)", visit.page.text)
    assert found is not None, visit.text
    return found[1]


def secret_on(visit: Visitor) -> str:
    found = re.search(r'class="secret">([A-Z2-7 ]+)<', visit.page.text)
    assert found is not None, visit.text
    return found[1].replace(" ", "")


def codes_on(visit: Visitor) -> list[str]:
    return re.findall(r"<li>([a-z2-9]{4}-[a-z2-9]{4}-[a-z2-9]{4})</li>", visit.page.text)


def test_first_owner_comes_in_by_the_keepers_link(installation: Installation, app: Flask) -> None:
    person = read_person(email="pat@firm.example", name="Pat Sample", roles=("owner",))
    link = add_person(installation, "Invented Roofs", person, now=clock.now())
    visit = visitor(app)
    visit.open(link.address.removeprefix("http://localhost"))
    assert "You will be owner there" in visit.text
    visit.send(name="Pat Sample", password="short")
    assert visit.page.status_code == 400
    assert "has 5 characters" in visit.text
    visit.send(name="Pat Sample", password=PASSWORD)
    visit.open("/me")
    assert "Pat Sample" in visit.text
    assert "People of the firm" in visit.text
    second = visitor(app)
    assert second.open(link.address.removeprefix("http://localhost")).status_code == 404
    assert "does not work any more" in second.text


def test_invited_supervisor_is_led_to_a_second_factor_before_all(app: Flask, firm: str) -> None:
    office = in_the_site(app, "ona")
    office.open("/people/invite")
    assert "Owner" not in office.page.text
    office.send(name="Una Sample", email="una@firm.example", roles=["supervisor"])
    new = visitor(app)
    new.open(link_on(office))
    new.send(name="Una Sample", password=NEW_PASSWORD)
    assert new.path == "/me/second-factor"
    for path in ("/", "/people", "/jobs/new"):
        new.open(path)
        assert new.path == "/me/second-factor"
    new.open("/me/authenticator")
    assert "Your password" not in new.text  # it was typed a moment ago
    new.send(code="000000x")
    assert "does not fit" in new.text
    new.send(code=pyotp.TOTP(secret_on(new)).at(clock.now()))
    assert len(codes_on(new)) == 10
    assert new.open("/people").status_code == 200
    assert new.path == "/people"


def test_second_proof_is_asked_for_and_works_once(
    installation: Installation, app: Flask, firm: str
) -> None:
    orla = in_the_site(app, "orla")
    orla.open("/me/authenticator")
    secret = secret_on(orla)
    orla.send(code=pyotp.TOTP(secret).at(clock.now()))
    codes = codes_on(orla)
    again = visitor(app)
    again.open("/sign-in?next=/people")
    again.send(email="orla@firm.example", password=PASSWORD)
    assert again.path == "/sign-in/second"
    assert visitor_is_nobody(again)
    again.open("/sign-in/second?next=/people")
    again.send(code=pyotp.TOTP(secret).at(clock.now()))  # was used at the set-up
    assert "does not fit, or was used" in again.text
    again.send(code=codes[0])
    assert again.path == "/people"
    third = visitor(app)
    third.sign_in("orla")
    third.send(code=codes[0])
    assert "does not fit, or was used" in third.text
    reset_second_factor(installation, "orla@firm.example")
    third.send(code=codes[1])
    assert third.path == "/sign-in"


def visitor_is_nobody(visit: Visitor) -> bool:
    return visit.client.get("/me").status_code == 303


def test_second_page_without_a_first_proof_leads_back(app: Flask, firm: str) -> None:
    visit = visitor(app)
    visit.open("/sign-in/second")
    assert visit.path == "/sign-in"


def test_wrong_password_keeps_the_email_and_not_the_password(app: Flask, firm: str) -> None:
    visit = visitor(app)
    visit.sign_in("nell", "not the password")
    assert visit.page.status_code == 400
    assert "do not fit together" in visit.text
    assert 'value="nell@firm.example"' in visit.page.text
    assert "not the password" not in visit.page.text


def test_too_many_tries_are_told_how_long_to_wait(app: Flask, firm: str) -> None:
    visit = visitor(app)
    visit.open("/sign-in")
    for _ in range(10):
        visit.open("/sign-in")
        visit.send(email="nobody@firm.example", password="not the password")
    visit.open("/sign-in")
    answer = visit.send(email="nobody@firm.example", password=PASSWORD)
    assert answer.status_code == 429
    assert 0 < int(answer.headers["Retry-After"]) <= 900
    assert "tried too often" in visit.text


@pytest.mark.parametrize(
    "elsewhere",
    [
        "https://elsewhere.example/",
        "//elsewhere.example/",
        "/\\elsewhere.example/",
        "/\t/elsewhere.example/",
        "\\\\elsewhere.example",
        "javascript:alert(1)",
        "elsewhere",
    ],
)
def test_sign_in_leads_to_no_other_site(app: Flask, firm: str, elsewhere: str) -> None:
    client = app.test_client()
    visit = Visitor(client=client, page=client.get("/sign-in", query_string={"next": elsewhere}))
    action, hidden = visit.form()
    data = {**hidden, "email": "nell@firm.example", "password": PASSWORD}
    for named in (*hidden["next"], elsewhere):
        answer = client.post(action, data={**data, "next": named})
        assert answer.status_code in (303, 400)
        assert answer.headers.get("Location", "/") == "/"


def test_form_sent_after_the_session_ended_is_saved_in_one_touch(
    installation: Installation, app: Flask, firm: str
) -> None:
    owner = in_the_site(app, "ives")
    owner.open("/people/nell")
    elsewhere = in_the_site(app, "ives")
    elsewhere.open("/me")
    elsewhere.send("/me/sign-out-everywhere")
    owner.send("sheet", roles=["installer", "office"], competence="Laminator")
    assert owner.page.status_code == 401
    assert "What you were saving is kept" in owner.text
    owner.send(email="ives@firm.example", password="not the password")
    assert "What you were saving is kept" in owner.text
    owner.send(email="ives@firm.example", password=PASSWORD)
    assert "Save it now" in owner.text
    owner.send("sheet")
    assert "Saved what Nell Sample does" in owner.text
    assert acting(installation, firm, "nell").roles == {Role.INSTALLER, Role.OFFICE}


def test_passwords_are_not_held_through_a_sign_in(app: Flask, firm: str) -> None:
    nell = in_the_site(app, "nell")
    nell.open("/me/password")
    elsewhere = in_the_site(app, "nell")
    elsewhere.open("/me")
    elsewhere.send("/me/sign-out-everywhere")
    nell.send(password=PASSWORD, new_password=NEW_PASSWORD)
    assert nell.page.status_code == 401
    assert "What you were saving" not in nell.text
    assert 'name="held"' not in nell.page.text


def test_new_password_signs_out_everywhere_else(app: Flask, firm: str) -> None:
    here, there = in_the_site(app, "nell"), in_the_site(app, "nell")
    here.open("/me/password")
    here.send(password="not the password", new_password=NEW_PASSWORD)
    assert "not the password of your account" in here.text
    here.send(password=PASSWORD, new_password=NEW_PASSWORD)
    assert here.path == "/me"
    assert visitor_is_nobody(there)
    again = visitor(app)
    again.sign_in("nell", NEW_PASSWORD)
    assert not visitor_is_nobody(again)


def test_forgotten_password_is_renewed_by_a_link(app: Flask, firm: str) -> None:
    owner, nell = in_the_site(app, "ives"), in_the_site(app, "nell")
    owner.open("/people/nell")
    owner.send("/people/nell/new-password")
    renewing = visitor(app)
    renewing.open(link_on(owner))
    renewing.send(password=NEW_PASSWORD)
    assert renewing.path == "/sign-in"
    assert "Your new password stands" in renewing.text
    assert visitor_is_nobody(nell)


def test_whoever_leaves_is_out_at_once(app: Flask, firm: str) -> None:
    owner, nell = in_the_site(app, "ives"), in_the_site(app, "nell")
    owner.open("/people/nell")
    owner.send("/people/nell/end")
    assert "can no longer sign in" in owner.text
    assert visitor_is_nobody(nell)
    owner.open("/people/nell")
    assert owner.page.status_code == 200
    assert "End their employment" not in owner.text


def test_last_owner_is_told_why_they_cannot_go(app: Flask, firm: str) -> None:
    owner = in_the_site(app, "ives")
    owner.open("/people/ives")
    owner.send("/people/ives/end")
    assert owner.page.status_code == 403
    assert "last owner" in owner.text


def test_invitation_is_ended_from_the_list(app: Flask, firm: str) -> None:
    owner = in_the_site(app, "ives")
    owner.open("/people/invite")
    owner.send(name="Una", email="una@firm.example", roles=["office"])
    link = link_on(owner)
    owner.open("/people")
    assert "una@firm.example" in owner.text
    action = re.search(r"/people/invitations/[\w-]+/end", owner.page.text)
    assert action is not None
    owner.send(action[0])
    assert "una@firm.example" not in owner.text
    assert visitor(app).open(link).status_code == 404


def test_bad_invitation_keeps_what_was_typed(app: Flask, firm: str) -> None:
    owner = in_the_site(app, "ives")
    owner.open("/people/invite")
    owner.send(name="<script>alert(1)</script>", email="no address")
    assert owner.page.status_code == 400
    assert "no e-mail address" in owner.text
    assert "Choose at least one role" in owner.text
    assert "<script>alert(1)" not in owner.page.text
    assert "&lt;script&gt;alert(1)" in owner.page.text


def test_appearance_is_kept_with_the_person(
    installation: Installation, app: Flask, firm: str
) -> None:
    nell = in_the_site(app, "nell")
    nell.send("looks", appearance="dark")
    assert DARK in nell.page.text
    assert own_account(installation, acting(installation, firm, "nell")).appearance is (
        Appearance.DARK
    )
    other_phone = in_the_site(app, "nell")
    assert DARK in other_phone.page.text
    other_phone.send("looks", appearance="<b>")
    assert DARK not in other_phone.page.text


def test_sign_out_needs_its_token_and_ends_the_session(app: Flask, firm: str) -> None:
    nell = in_the_site(app, "nell")
    assert nell.client.post("/sign-out").status_code == 400
    assert not visitor_is_nobody(nell)
    nell.open("/me")
    nell.send("/sign-out")
    assert "You are signed out" in nell.text
    assert visitor_is_nobody(nell)


@pytest.mark.parametrize("stays", [True, False])
def test_cookie_is_closed_and_says_little(app: Flask, firm: str, stays: bool) -> None:
    nell = visitor(app)
    nell.open("/sign-in")
    action, hidden = nell.form()
    data = {**hidden, "email": "nell@firm.example", "password": PASSWORD}
    answer = nell.client.post(action, data=data | ({"stays": "yes"} if stays else {}))
    (cookie,) = (one for one in answer.headers.getlist("Set-Cookie") if "laidtrue=" in one)
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "nell" not in cookie
    assert ("Expires" in cookie) is stays


def test_cookie_travels_over_tls_only_where_the_site_does(
    installation: Installation, firm: str
) -> None:
    settings = Settings(instance=installation.settings.instance, origin="https://roofs.example")
    secured = open_installation(settings)
    secure = create_app(settings, installation=secured)
    answer = secure.test_client().get("/sign-in", base_url="https://roofs.example")
    cookie = answer.headers["Set-Cookie"]
    secured.store.engine.dispose()
    assert "Secure" in cookie
    assert cookie.startswith("__Host-")


def test_session_of_somebody_ended_by_the_keeper_is_over(
    installation: Installation, app: Flask, firm: str
) -> None:
    nell = in_the_site(app, "nell")
    end_person(installation, "nell@firm.example", now=clock.now())
    assert visitor_is_nobody(nell)


def test_firm_is_called_and_reached_as_its_owner_says(app: Flask, firm: str) -> None:
    visit = in_the_site(app, "ives")
    visit.open("/people")
    assert "Name, address, telephone and e-mail on jobs and packs" in visit.text
    visit.open("/firm")
    refused = visit.send(name="Invented Roofs", address="Nowhere 1", phone="none", email="")
    assert refused.status_code == 400
    assert "A telephone number has figures" in visit.text
    visit.send(name="Invented Roofs", address="Nowhere 1", phone="01632 960101", email="")
    assert visit.path == "/people"
    assert "Kept. Jobs that start from now on say it so." in visit.text
    visit.open("/firm")
    assert 'value="01632 960101"' in visit.page.text

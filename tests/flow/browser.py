"""A served site and a real browser, for tests of what a person sees and touches.

    def test_something_is_true(site: ServedSite, phone: Page) -> None:
        site.sign_in(phone, Role.INSTALLER)
        phone.goto(site.origin + "/")

`site` is a real installation of the test's own, served by the real server on a free port; it has
one firm and its people: two installers, and one person of each other role. `phone` and `desk` are
pages of Chromium at the two sizes that the site is made for.
"""

from __future__ import annotations

import shutil
import socket
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType

import pytest
from flask import Flask, request
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from qa import create_app
from qa.services.access import Actor, Role
from qa.services.installation import Installation, open_installation
from qa.services.signing_in import actor_of
from qa.settings import Settings
from qa.store.accounts import FirmAtRest, NewAccount, add_account, add_firm, set_authenticator
from qa.web import clock
from qa.web.frame import SignIn, use_sign_in
from qa.web.serving import SiteServer, listen

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
PHONE = (360, 740)
DESK = (1280, 800)
ACTING_AS = "acting-as"
FIRM = "Level and Lap (invented)"
BEGAN = datetime(2026, 5, 11, 7, 0, tzinfo=UTC)


PEOPLE = {
    Role.INSTALLER: ("nell", "Nell Sample"),
    Role.SUPERVISOR: ("orla", "Orla Specimen"),
    Role.OFFICE: ("ona", "Ona Pretend"),
    Role.OWNER: ("ives", "Ives Madeup"),
}
"""Key and name of one person of each role, as the demonstration job's crew has them."""
MATE = ("tam", "Tam Example")
"""The second installer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServedSite:
    """A site that answers.

    Attributes:
        origin: its address, such as "http://localhost:40123".
        marks: what the session of each person carries, by role and by key.
    """

    origin: str
    app: Flask
    installation: Installation
    marks: Mapping[Role | str, str]

    def actor(self, who: Role | str) -> Actor:
        """A person, for calling services."""
        actor = actor_of(self.installation, self.marks[who], now=clock.now())
        assert actor is not None
        return actor

    def sign_in(self, at: Page | BrowserContext, who: Role | str) -> None:
        """Signs a browser in without the pages of the account.

        Args:
            at: a page, or the profile that it belongs to.
            who: a person's key such as "tam", or a role, which stands for one of its people.
        """
        context = at.context if isinstance(at, Page) else at
        cookie = {"name": ACTING_AS, "value": self.marks[who], "url": self.origin}
        context.add_cookies([cookie])


def let_in_by_cookie(app: Flask, installation: Installation) -> None:
    """Lets a test act as somebody without the pages of the account, beside the real sign-in."""
    real = app.extensions["laidtrue"].sign_in

    def recognise() -> Actor | None:
        mark = request.cookies.get(ACTING_AS)
        if mark:
            return actor_of(installation, mark, now=clock.now())
        return real.recognise() if real else None

    use_sign_in(app, SignIn(recognise=recognise, ask=real.ask if real else _ask))


def _ask(held: str | None) -> tuple[str, int]:
    return f"Sign in first. {held}", 401


@contextmanager
def served(folder: Path) -> Iterator[ServedSite]:
    """A site with an installation in `folder`, while the block runs."""
    listening = listen("127.0.0.1", 0)
    origin = f"http://localhost:{listening.getsockname()[1]}"
    settings = Settings(instance=folder, origin=origin)
    installation = open_installation(settings)
    app = create_app(settings, installation=installation)
    let_in_by_cookie(app, installation)
    with answering(app, listening):
        yield ServedSite(
            origin=origin, app=app, installation=installation, marks=add_people(installation)
        )
    installation.store.engine.dispose()


@contextmanager
def answering(app: Flask, listening: socket.socket) -> Iterator[None]:
    """Lets a site answer on a port while the block runs; afterwards nothing answers there."""
    server = SiteServer(app, listening)
    thread = threading.Thread(target=server.run, name="site")
    thread.start()
    try:
        yield
    finally:
        server.stop()
        thread.join(20)
        assert not thread.is_alive()


def add_people(installation: Installation) -> Mapping[Role | str, str]:
    """Adds the firm and its people, and answers their session marks by role and by key.

    The supervisor has an authenticator, without which the role is not in force; nobody can sign in
    with it or with a password.
    """
    marks: dict[Role | str, str] = {}
    firm_id = installation.new_id()
    with installation.store.writing() as session:
        firm = FirmAtRest(id=firm_id, name=FIRM, address=None, phone=None, email=None)
        add_firm(session, firm, now=BEGAN)
        session.flush()
        for role, (key, name) in [(Role.INSTALLER, MATE), *PEOPLE.items()]:
            account = NewAccount(
                id=installation.new_id(), firm_id=firm_id, key=key, name=name,
                email=f"{key}@level-and-lap.example", roles=(role.value,),
                password_hash="none", session_mark=installation.new_id(),
            )  # fmt: skip
            add_account(session, account, now=BEGAN)
            session.flush()
            if role is Role.SUPERVISOR:
                set_authenticator(session, account.id, b"sealed", step=0)
            marks[role] = marks[key] = account.session_mark
    return MappingProxyType(marks)


@pytest.fixture
def site(tmp_path: Path, migrated_file: Path) -> Iterator[ServedSite]:
    """A site of the test's own."""
    instance = tmp_path / "instance"
    instance.mkdir()
    shutil.copyfile(migrated_file, instance / "laidtrue.db")
    with served(instance) as site:
        yield site


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, started once."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield browser
        browser.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A page of a phone held upright."""
    with open_page(browser, PHONE) as page:
        yield page


@pytest.fixture
def desk(browser: Browser) -> Iterator[Page]:
    """A page on a desk."""
    with open_page(browser, DESK) as page:
        yield page


@contextmanager
def open_page(
    browser: Browser, size: tuple[int, int], *, dark: bool = False, script: bool = True
) -> Iterator[Page]:
    """A page of a fresh browser profile, closed at the end of the block."""
    is_phone = size == PHONE
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        color_scheme="dark" if dark else "light",
        has_touch=is_phone,
        is_mobile=is_phone,
        java_script_enabled=script,
        locale="en-GB",
        timezone_id="Europe/London",
        reduced_motion="reduce",
    )
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()

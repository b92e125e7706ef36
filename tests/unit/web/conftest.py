"""A site for tests without a server: its installation, a page with a form, and who is signed in."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from flask.typing import ResponseReturnValue

from qa import create_app
from qa.services.access import Act, Actor, Role
from qa.services.installation import Installation, open_installation
from qa.settings import Settings
from qa.web import access
from qa.web.frame import SignIn, use_sign_in


@dataclass
class Door:
    """Who is signed in, and what the sign-in page was given to hold."""

    actor: Actor | None = None
    held: list[str | None] = field(default_factory=list)

    def ask(self, held: str | None) -> ResponseReturnValue:
        """Stands for the sign-in page."""
        self.held.append(held)
        return "Sign in", 401


def an_actor(*roles: Role) -> Actor:
    """Somebody with these roles."""
    return Actor(
        firm_id="firm", person_id="person", key="tam", name="Tam Invented", roles=frozenset(roles)
    )


@pytest.fixture
def installation(tmp_path: Path, migrated_file: Path) -> Iterator[Installation]:
    """A real installation of the test's own."""
    shutil.copyfile(migrated_file, tmp_path / "laidtrue.db")
    installation = open_installation(Settings(instance=tmp_path))
    yield installation
    installation.store.engine.dispose()


@pytest.fixture
def door() -> Door:
    """Nobody is signed in until a test says so."""
    return Door()


@pytest.fixture
def app(installation: Installation, door: Door) -> Flask:
    """The site, whose sign-in is the test's."""
    app = create_app(installation.settings, installation=installation)
    use_sign_in(app, SignIn(recognise=lambda: door.actor, ask=door.ask))
    return app


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A browser without a window."""
    return app.test_client()


@pytest.fixture
def things(app: Flask, monkeypatch: pytest.MonkeyPatch) -> str:
    """The address of a route that may be used by those who may start a job."""
    app.add_url_rule("/things", "things", lambda: "done", methods=["GET", "POST"])
    monkeypatch.setattr(access, "ROUTES", {**access.ROUTES, "things": Act.START_JOB})
    return "/things"

"""A job on a real site, and a visitor who opens its pages and sends their forms without a browser.

def test_something_is_true(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/lots/new")
    answer = page.send(product="Roofing resin")
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from html.parser import HTMLParser
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from qa.record.registry import Kind
from qa.services.access import Role
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.services.starting import start_job
from qa.web import clock
from tests.examples import minimal
from tests.flow.browser import ServedSite

CREW = (Role.INSTALLER, Role.SUPERVISOR, Role.OFFICE)


class _Form(HTMLParser):
    """Reads what a browser would send of the form with the id "sheet", as it stands."""

    def __init__(self) -> None:
        super().__init__()
        self.action = ""
        self.fields: dict[str, list[str]] = {}
        self._inside = False
        self._select = self._area = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        at = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._inside = at.get("id") == "sheet"
            self.action = at.get("action", "") if self._inside else self.action
        if not self._inside or (tag != "option" and "name" not in at):
            return
        if tag == "input":
            ticked = at.get("type") not in ("radio", "checkbox") or "checked" in at
            if ticked and at.get("type") != "file":
                self.fields.setdefault(at["name"], []).append(at.get("value", ""))
        elif tag == "select":
            self._select = at["name"]
        elif tag == "option" and "selected" in at:
            self.fields.setdefault(self._select, []).append(at.get("value", ""))
        elif tag == "textarea":
            self._area = at["name"]
            self.fields.setdefault(self._area, []).append("")

    def handle_data(self, data: str) -> None:
        if self._area:
            self.fields[self._area][-1] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._area = ""
        if tag == "form":
            self._inside = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenPage:
    """A page as it was answered.

    Attributes:
        fields: what its form would send as it stands.
    """

    client: FlaskClient
    path: str
    status: int
    text: str
    action: str
    fields: Mapping[str, list[str]]

    def send(self, **typed: Any) -> TestResponse:
        """Sends the page's form with some fields typed; None leaves one out."""
        data: dict[str, Any] = {**self.fields, **typed}
        return self.client.post(
            self.action or self.path,
            data={name: value for name, value in data.items() if value is not None},
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Somebody with a browser that runs no script."""

    client: FlaskClient

    def open(self, path: str) -> OpenPage:
        """A page."""
        response = self.client.get(path)
        form = _Form()
        form.feed(response.text)
        return OpenPage(
            client=self.client,
            path=path,
            status=response.status_code,
            text=response.text,
            action=form.action,
            fields=form.fields,
        )

    def follow(self, response: TestResponse) -> OpenPage:
        """The page that an answer leads to."""
        assert response.status_code == 303, response.text
        return self.open(response.location)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Jar:
    """Takes the cookies of a client as a browser's context does."""

    client: FlaskClient

    def add_cookies(self, cookies: Sequence[Any]) -> None:
        for cookie in cookies:
            self.client.set_cookie(cookie["name"], cookie["value"])


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofSite:
    """A site with one job that has an area.

    Attributes:
        job_id: the installation's id of the job.
    """

    site: ServedSite
    job_id: str
    _visitors: dict[Role, Visitor] = field(default_factory=dict)

    @property
    def job(self) -> str:
        """Address of the job."""
        return f"/jobs/{self.job_id}"

    def as_(self, who: Role) -> Visitor:
        """The visitor of a role."""
        if who not in self._visitors:
            client = self.site.app.test_client()
            self.site.sign_in(_Jar(client=client), who)
            self._visitors[who] = Visitor(client=client)
        return self._visitors[who]

    def add(
        self,
        kind: str,
        *,
        role: Role = Role.INSTALLER,
        at: datetime | None = None,
        original: str | None = None,
        **fields: Any,
    ) -> Receipt:
        """Records an entry; `fields` differ from `minimal(kind)`, `...` leaves one out."""
        body = minimal(kind) | {name.rstrip("_"): value for name, value in fields.items()}
        now = clock.now()
        draft = Draft(
            id=self.site.installation.new_id(),
            kind=Kind(kind),
            at=at or now,
            body={name: value for name, value in body.items() if value is not ...},
            original=original,
        )
        actor = self.site.actor(role)
        return record(self.site.installation, actor, self.job_id, [draft], now=now)[0]

    def read(self) -> ReadJob:
        """The job as it stands."""
        return read_job(self.site.installation, self.site.actor(Role.INSTALLER), self.job_id)


def begin_roof(site: ServedSite, **job: Any) -> RoofSite:
    """Starts a job of a served site; `job` changes fields of its opening."""
    now = clock.now()
    crew = [(site.actor(role), role) for role in CREW]
    opening = (
        minimal("job")
        | {
            "crew": [
                {"person": one.key, "name": one.name, "role": role.value} for one, role in crew
            ]
        }
        | job
    )
    job_id = start_job(
        site.installation,
        site.actor(Role.INSTALLER),
        opening,
        entry_id=site.installation.new_id(),
        at=now,
        now=now,
    )
    roof = RoofSite(site=site, job_id=job_id)
    roof.add("area")
    return roof


@pytest.fixture
def roof(site: ServedSite) -> RoofSite:
    """A site with one job that has an area."""
    return begin_roof(site)

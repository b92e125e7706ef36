"""A visitor of the account pages without a browser: opens a page, and sends a form as it stands."""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape
from urllib.parse import urlsplit

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.accounts import PASSWORD

_FORM = re.compile(r"<form\b(?P<head>[^>]*)>(?P<body>.*?)</form>", re.DOTALL)
_HIDDEN = re.compile(r'<input type="hidden" name="([^"]+)"[^>]* value="([^"]*)"')


@dataclass(slots=True)
class Visitor:
    """One browser profile.

    Attributes:
        page: the answer that was read last, redirects followed.
    """

    client: FlaskClient
    page: TestResponse

    def open(self, path: str) -> TestResponse:
        """Opens a page, and follows where it leads."""
        self.page = self.client.get(path, follow_redirects=True)
        return self.page

    def send(self, _form: str = "sheet", **typed: str | list[str]) -> TestResponse:
        """Sends the form of that id or action on the page that is open, with what is typed."""
        action, hidden = self.form(_form)
        self.page = self.client.post(action, data={**hidden, **typed}, follow_redirects=True)
        return self.page

    def sign_in(self, key: str, password: str = PASSWORD) -> TestResponse:
        """Signs in as KEY@firm.example."""
        self.open("/sign-in")
        return self.send(email=f"{key}@firm.example", password=password, stays="yes")

    @property
    def path(self) -> str:
        """Where the visitor is."""
        return self.page.request.path

    @property
    def text(self) -> str:
        """What the page says, without its markup."""
        text = re.sub(r"<(style|script)\b.*?</\1>", " ", self.page.text, flags=re.DOTALL)
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())

    def form(self, wanted: str = "sheet") -> tuple[str, dict[str, list[str]]]:
        """Where a form of the page is sent to, and its hidden fields."""
        for found in _FORM.finditer(self.page.text):
            action = re.search(r'action="([^"]*)"', found["head"])
            here = unescape(action[1]) if action else self.page.request.path
            if f'id="{wanted}"' in found["head"] or urlsplit(here).path == wanted:
                hidden: dict[str, list[str]] = {}
                for name, value in _HIDDEN.findall(found["body"]):
                    hidden.setdefault(name, []).append(unescape(value))
                return here, hidden
        raise AssertionError(f"{self.path} has no form {wanted}: {self.text}")


def visitor(app: Flask) -> Visitor:
    """A browser profile that has been nowhere yet."""
    client = app.test_client()
    return Visitor(client=client, page=client.get("/healthz"))

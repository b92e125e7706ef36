"""The security headers, each pinned: a change here is a decision, not an accident."""

from __future__ import annotations

import base64
import hashlib
from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient

from qa import create_app
from qa.services.installation import Installation
from qa.web.static_files import asset

PINNED = {
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=(), payment=()",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cache-Control": "no-store",
}


@pytest.mark.parametrize("path", ["/help", "/nowhere", "/healthz"])
@pytest.mark.parametrize("name", PINNED)
def test_every_answer_carries_the_header(client: FlaskClient, path: str, name: str) -> None:
    assert client.get(path).headers[name] == PINNED[name]


def test_policy_allows_nothing_inline_but_the_style_sheet(client: FlaskClient) -> None:
    answer = client.get("/help")
    sheet = answer.text.partition("<style>")[2].partition("</style>")[0]
    digest = base64.b64encode(hashlib.sha256(sheet.encode()).digest()).decode()
    assert answer.headers["Content-Security-Policy"] == (
        "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
        f"img-src 'self' blob: data:; object-src 'none'; style-src 'self' 'sha256-{digest}'"
    )


def test_plain_http_asks_for_no_strict_transport(client: FlaskClient) -> None:
    answer = client.get("/help")
    assert "Strict-Transport-Security" not in answer.headers
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith("laidtrue=")
    assert cookie.endswith("; HttpOnly; Path=/; SameSite=Lax")


def test_https_asks_for_strict_transport_and_a_host_cookie(installation: Installation) -> None:
    settings = replace(installation.settings, origin="https://roofs.example")
    app = create_app(settings, installation=replace(installation, settings=settings))
    answer = app.test_client().get("/help", base_url="https://roofs.example")
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith("__Host-laidtrue=")
    assert "; Secure; HttpOnly; Path=/; SameSite=Lax" in cookie


def test_file_that_is_no_page_carries_what_it_needs(app: Flask) -> None:
    with app.test_request_context():
        script, picture = asset("site/drafts.js"), asset("site/mark.svg")
    answer = app.test_client().get(script)
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "Content-Security-Policy" not in answer.headers
    assert "Content-Security-Policy" in app.test_client().get(picture).headers

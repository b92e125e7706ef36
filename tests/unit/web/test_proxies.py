"""Whose address is believed: that of the connection, unless a proxy is said to stand before."""

from __future__ import annotations

from dataclasses import replace

import pytest
from flask import request

from qa import create_app
from qa.services.installation import Installation
from qa.web import access

FORWARDED = {"X-Forwarded-For": "198.51.100.7, 203.0.113.9"}


def address(installation: Installation, proxies: int, monkeypatch: pytest.MonkeyPatch) -> str:
    settings = replace(installation.settings, proxies=proxies)
    app = create_app(settings, installation=replace(installation, settings=settings))
    app.add_url_rule("/who", "who", lambda: request.remote_addr or "")
    monkeypatch.setattr(access, "ROUTES", {**access.ROUTES, "who": access.Anyone.AT_ALL})
    return app.test_client().get("/who", headers=FORWARDED).get_data(as_text=True)


def test_nobody_names_their_own_address(
    installation: Installation, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert address(installation, 0, monkeypatch) == "127.0.0.1"


def test_one_proxy_names_who_asked_it(
    installation: Installation, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert address(installation, 1, monkeypatch) == "203.0.113.9"

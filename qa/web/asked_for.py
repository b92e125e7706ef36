"""What kind of answer a request asks for: a page, or JSON."""

from __future__ import annotations

from flask import request

PROGRAMS = "/api/"
"""Addresses below this are for programs: they answer JSON, whatever happens."""


def wants_json() -> bool:
    """Whether JSON is asked for: by a program, the Accept header, or since JSON or a piece came."""
    if request.path.startswith(PROGRAMS):
        return True
    accepted = request.accept_mimetypes
    asked = accepted.best_match(["text/html", "application/json"])
    if asked == "application/json" and accepted["application/json"] > accepted["text/html"]:
        return True
    return request.is_json or request.method == "PATCH"

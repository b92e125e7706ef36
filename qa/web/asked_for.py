"""What kind of answer a request asks for: a page, or JSON."""

from __future__ import annotations

from flask import request


def wants_json() -> bool:
    """Whether JSON is asked for: by the Accept header, or because JSON or a piece was sent."""
    accepted = request.accept_mimetypes
    asked = accepted.best_match(["text/html", "application/json"])
    if asked == "application/json" and accepted["application/json"] > accepted["text/html"]:
        return True
    return request.is_json or request.method == "PATCH"

"""The security headers of every answer; a test pins each of them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from flask import Response, current_app

from qa.web.static_files import sheet_digests

_SOURCES = {
    "default-src": "'self'",
    "base-uri": "'none'",
    "form-action": "'self'",
    "frame-ancestors": "'none'",
    # A photograph just taken is shown before it is sent; the marks of verdicts stand in the sheet.
    "img-src": "'self' blob: data:",
    "object-src": "'none'",
}
HEADERS: Mapping[str, str] = MappingProxyType(
    {
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        # The camera takes photographs and reads bar codes; photographs say where they were taken.
        "Permissions-Policy": "camera=(self), geolocation=(self), microphone=(), payment=()",
        "Referrer-Policy": "same-origin",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
    }
)
_FILES = frozenset({"font/woff2", "text/css", "text/javascript"})
FOR_FILES = ("Cross-Origin-Resource-Policy", "X-Content-Type-Options")
"""What a script or a face needs, which is no page: the rest is half a kilobyte for each of them."""
STRICT_TRANSPORT = "max-age=31536000"


def put_headers(response: Response) -> Response:
    """Puts the headers on an answer; pages of signed-in people are kept by no cache."""
    if response.mimetype in _FILES:
        for name in FOR_FILES:
            response.headers[name] = HEADERS[name]
        return response
    response.headers.setdefault("Content-Security-Policy", security_policy())
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if current_app.config["SESSION_COOKIE_SECURE"]:
        response.headers.setdefault("Strict-Transport-Security", STRICT_TRANSPORT)
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"
    return response


def security_policy() -> str:
    """What a page may load: from the site alone, and of what stands inside it the style sheets."""
    inside = " ".join(f"'{digest}'" for digest in sheet_digests())
    sources = {**_SOURCES, "style-src": f"'self' {inside}".rstrip()}
    return "; ".join(f"{name} {source}" for name, source in sources.items())

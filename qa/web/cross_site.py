"""Refusing what another site makes a browser send."""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import Flask, request
from flask_wtf import CSRFProtect

from qa.errors import NotAllowedError
from qa.texts.saying import say
from qa.web.frame import house, is_of_program

_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


def check_origin() -> None:
    """Refuses a change that a browser says another site asked for.

    A page that tells nobody its address, as those behind a link do, sends the origin “null”; it is
    ours only where the browser itself says that the page and the site are one.

    Raises:
        NotAllowedError: the Origin or Sec-Fetch-Site header names another site.
    """
    if request.method in _SAFE:
        return
    origin = request.headers.get("Origin")
    fetched_from = request.headers.get("Sec-Fetch-Site", "same-origin")
    # Behind a proxy the host of the request may be another than the one that browsers know.
    ours = {request.host, urlsplit(house().settings.origin).netloc}
    is_untold = origin == "null" and request.headers.get("Sec-Fetch-Site") == "same-origin"
    foreign = origin is not None and not is_untold and urlsplit(origin).netloc not in ours
    if foreign or fetched_from not in ("same-origin", "none"):
        raise NotAllowedError(
            say(
                "This was sent from another address than the site’s own, so nothing was saved. "
                "Open the site itself and do it there."
            )
        )


def protect(app: Flask) -> None:
    """Asks for the session's token with every change; it is good for as long as the session is."""
    app.config.update(
        WTF_CSRF_TIME_LIMIT=None, WTF_CSRF_SSL_STRICT=False, WTF_CSRF_CHECK_DEFAULT=False
    )
    csrf = CSRFProtect(app)

    # A program shows its token, which no browser adds by itself, and has no session to abuse.
    @app.before_request
    def ask_for_token() -> None:
        is_asked = app.config["WTF_CSRF_ENABLED"] and request.endpoint is not None
        if is_asked and not is_of_program():
            csrf.protect()

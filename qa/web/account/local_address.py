"""Addresses that a sign-in leads on to: of this site only, whatever a link says."""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import request

FIELD = "next"
_HOME = "/"


def next_address() -> str:
    """Where to go after the sign-in: what the request asks for, where that is of this site."""
    return local_address(request.form.get(FIELD) or request.args.get(FIELD) or _HOME)


def local_address(text: str) -> str:
    """The address, where it is a path of this site; else the start page.

    Browsers read a backslash as a slash and skip control characters, so that both would lead away
    between the first slash and the name of another site.
    """
    parts = urlsplit(text)
    stays = text.startswith("/") and not text.startswith("//") and not parts.netloc
    plain = text.isprintable() and "\\" not in text and text.isascii()
    return text if stays and plain and not parts.scheme else _HOME

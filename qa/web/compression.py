"""Answers sent compressed, also those that tell of an error: a form shown again is a page."""

from __future__ import annotations

from flask import Flask, Response, g
from flask_compress import Compress

_SMALLEST_BYTES = 500
_COMPRESSED = ("application/json", "image/svg+xml", "text/css", "text/html", "text/javascript")
_FIRST_ERROR = 400


def send_compressed(app: Flask) -> None:
    """Lets an application compress what it sends: Brotli (RFC 7932), else gzip."""
    app.config.update(
        COMPRESS_ALGORITHM=["br", "gzip"],
        COMPRESS_BR_LEVEL=5,
        COMPRESS_MIN_SIZE=_SMALLEST_BYTES,
        COMPRESS_MIMETYPES=list(_COMPRESSED),
    )
    # The extension leaves errors as they are, so it must not see that they are some. What is
    # registered last is asked first.
    app.after_request(_give_status_back)
    Compress(app)
    app.after_request(_set_status_aside)


def _set_status_aside(response: Response) -> Response:
    if response.status_code >= _FIRST_ERROR:
        g.status_set_aside = response.status
        response.status_code = 200
    return response


def _give_status_back(response: Response) -> Response:
    response.status = g.pop("status_set_aside", response.status)
    return response

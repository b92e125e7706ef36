"""One JSON line for each request, with an id that an error page shows too.

The lines hold no personal data: neither addresses as they were typed, nor what was sent, nor the
words of an unexpected error, which may quote it; where it arose is enough to find it. So the secret
word of a link, which stands in its address, is in no line; the link is named by its id.
"""

from __future__ import annotations

import logging
import traceback
from time import perf_counter
from typing import cast
from uuid import uuid4

import structlog
from flask import Flask, Response, g, request

LOGGER = "laidtrue.site"

_log = structlog.wrap_logger(
    logging.getLogger(LOGGER),
    processors=[
        structlog.processors.add_log_level,
        structlog.processors.TimeStamper(fmt="iso", utc=True),
        structlog.processors.JSONRenderer(ensure_ascii=False),
    ],
    wrapper_class=structlog.stdlib.BoundLogger,
)


def keep_log(app: Flask) -> None:
    """Lets an application write its lines; where they go is said by the logger of that name."""
    app.before_request(_begin)
    app.after_request(_end)


def write_log_to_stderr() -> None:
    """Lets the lines go to standard error, for whatever program keeps the process."""
    logger = logging.getLogger(LOGGER)
    handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(message)s"))
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    logger.propagate = False


def request_id() -> str:
    """The id of this request, short enough to be read out over a telephone."""
    if "request_id" not in g:
        g.request_id = uuid4().hex[:12]
    return cast("str", g.request_id)


def log_unexpected(error: BaseException) -> None:
    """Writes where an error arose that nobody meant; its words may quote people and stay out."""
    frames = traceback.extract_tb(error.__traceback__)
    places = [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]
    _log.error("unexpected", request=request_id(), error=type(error).__name__, places=places)


def _begin() -> None:
    g.began_s = perf_counter()


def _end(response: Response) -> Response:
    took_ms = (perf_counter() - g.get("began_s", perf_counter())) * 1000
    link = {"link": g.link_id} if "link_id" in g else {}
    _log.info(
        "answered",
        request=request_id(),
        method=request.method,
        endpoint=request.endpoint,
        job=(request.view_args or {}).get("job"),
        status=response.status_code,
        ms=round(took_ms, 1),
        **link,
    )
    response.headers["X-Request-ID"] = request_id()
    return response

"""What both faces behind a link stand on: the link opened, the headers, the one page of refusal.

Whoever comes here is of no firm and signs in nowhere; the word in the address is all they have. So
their pages tell no site where they came from, are kept by no shared cache and found by no search
engine, and every link that opens nothing is answered by one and the same page.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from flask import Blueprint, Response, g, make_response, request, send_file

from qa.errors import NotFoundError
from qa.services.linking import DOES_NOT_WORK, Face, OpenLink, open_link
from qa.web import clock
from qa.web.frame import house, render_page
from qa.web.request_log import request_id

_HEADERS = {"Referrer-Policy": "no-referrer", "X-Robots-Tag": "noindex, nofollow, noarchive"}
PRIVATE = "private, no-store"
ASKED_AGAIN = "private, no-cache"
"""For files that a browser may keep, but shows only after the site said that it still may."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceTop:
    """What stands on top of every page behind a link.

    Attributes:
        home: address of the first page.
        firm: whose record it is.
        reference: the firm's reference of the job.
        title: of the job.
    """

    home: str
    firm: str
    reference: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedPage:
    """The page of a link that opens nothing."""

    sentence: str
    request_id: str


def guard_face(blueprint: Blueprint) -> None:
    """Gives the pages of a face their headers and their page of refusal."""
    blueprint.after_request(_put_headers)
    blueprint.register_error_handler(NotFoundError, _refused)


def opened(face: Face, token: str) -> OpenLink:
    """What the link of this request opens.

    Raises:
        NotFoundError: nothing.
        TooOftenError: too many were guessed from that address.
    """
    address = request.remote_addr or ""
    link = open_link(house(), face, token, address=address, now=clock.now())
    g.link_id = link.id
    return link


def sent_file(path: Path, *, media_type: str, etag: str, name: str | None = None) -> Response:
    """A file of the job; with a name it comes to be saved and is never opened here."""
    response = send_file(
        path,
        mimetype=media_type,
        as_attachment=name is not None,
        download_name=name,
        conditional=True,
        etag=etag,
        last_modified=None,
    )
    response.headers["Cache-Control"] = ASKED_AGAIN
    return response


def _put_headers(response: Response) -> Response:
    response.headers.setdefault("Cache-Control", PRIVATE)
    for name, value in _HEADERS.items():
        response.headers[name] = value
    return response


def _refused(error: NotFoundError) -> Response:
    """The same page whatever the reason, but for what is missing behind a link that works."""
    sentence = str(error) if "link_id" in g else DOES_NOT_WORK
    page = RefusedPage(sentence=sentence, request_id=request_id())
    return make_response(render_page("links/refused.html", page), 404)

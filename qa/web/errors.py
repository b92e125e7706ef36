"""What the site answers where it cannot do what was asked: what happened, and what to do next.

Views have no try/except for these. The status comes from the one table of `qa.errors`; a page or
JSON is answered by what was asked for; no trace leaves, only the id by which the log finds it.
"""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlsplit

from flask import Flask, Response, g, jsonify, make_response, redirect, request, url_for
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

from qa.errors import (
    HTTP_STATUS,
    ConflictError,
    LaidtrueError,
    NotSignedInError,
    Problem,
    RecordError,
    TooOftenError,
)
from qa.texts.saying import say
from qa.web.asked_for import wants_json
from qa.web.error_words import words_of
from qa.web.frame import render_page, site, who
from qa.web.held_forms import hold_sent_form, offer_again
from qa.web.request_log import log_unexpected, request_id

_SHORT_DIGEST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorPage:
    """What an error page shows.

    Attributes:
        status: the HTTP status.
        title: what happened, in few words.
        sentence: what happened.
        next_step: what to do now.
        request_id: by which the log finds it.
        back: address of the page that the person came from or should go to.
        back_label: what that page is.
    """

    status: int
    title: str
    sentence: str
    next_step: str
    request_id: str
    back: str
    back_label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConflictPage(ErrorPage):
    """What the page of a conflict shows besides.

    Attributes:
        held: the digest that the record holds, in short, or nothing.
        sent: the digest that was sent, in short, or nothing.
        held_entry: address of the entry that stands, or nothing.
        correct_entry: address of the page that corrects it, or nothing.
    """

    held: str
    sent: str
    held_entry: str
    correct_entry: str


def answer_errors(app: Flask) -> None:
    """Lets an application answer every error."""
    app.register_error_handler(CSRFError, _answer_lost_token)
    app.register_error_handler(HTTPException, _answer_http)
    app.register_error_handler(NotSignedInError, _answer_not_signed_in)
    app.register_error_handler(ConflictError, _answer_conflict)
    app.register_error_handler(LaidtrueError, answer_laidtrue)
    app.register_error_handler(Exception, _answer_unexpected)


def status_of(error: LaidtrueError) -> int:
    """The status of an error: its class's, or that of the class it derives from."""
    return next(HTTP_STATUS[kind] for kind in type(error).__mro__ if kind in HTTP_STATUS)


def answer_laidtrue(error: LaidtrueError) -> Response:
    """The answer to an error that the program raised on purpose."""
    status = status_of(error)
    if status >= 500:  # a fault of the installation, whose words are for its keeper
        log_unexpected(error)
        return _answer(_page(status, ""))
    response = _answer(_page(status, str(error)), _problems(error))
    if isinstance(error, TooOftenError):
        response.headers["Retry-After"] = str(error.again_in_s)
    return response


def _answer_not_signed_in(error: NotSignedInError) -> ResponseReturnValue:
    sign_in = site().sign_in
    if wants_json() or sign_in is None:
        return _answer(_page(401, str(error)))
    if request.method in ("GET", "HEAD"):
        return redirect(url_for("account.sign_in", next=request.full_path.rstrip("?")), 303)
    try:
        held = hold_sent_form()
    except HTTPException as unreadable:  # too large, or cut off
        return _answer_http(unreadable)
    return sign_in.ask(held)


def _answer_conflict(error: ConflictError) -> Response:
    page = _page(409, str(error))
    job = (request.view_args or {}).get("job")
    entry = error.entry if job else None
    conflict = ConflictPage(
        **{name: getattr(page, name) for name in ErrorPage.__slots__},
        held=(error.held or "")[:_SHORT_DIGEST],
        sent=(error.sent or "")[:_SHORT_DIGEST],
        held_entry=url_for("roof.entry", job=job, entry=entry) if entry else "",
        correct_entry=url_for("roof.correct", job=job, entry=entry) if entry else "",
    )
    return _answer(conflict, {"held": error.held, "sent": error.sent, "entry": error.entry})


def _answer_lost_token(_: CSRFError) -> ResponseReturnValue:
    """A page that was open from before the last sign-in: its form is offered once more."""
    page = offer_again(hold_sent_form()) if who() and not wants_json() else None
    if page is not None:
        return page, 400
    sentence = say(
        "This page was open from before the last sign-in, so it could not be sent as it is."
    )
    return _answer(_page(400, sentence))


def _answer_http(error: HTTPException) -> Response:
    if error.response is not None:
        return error.response  # type: ignore[return-value]
    response = _answer(_page(error.code or 500, ""))
    for name, value in error.get_headers():
        if name in ("Allow", "Retry-After"):
            response.headers[name] = value
    return response


def _answer_unexpected(error: Exception) -> Response:
    log_unexpected(error)
    return _answer(_page(500, ""))


def _page(status: int, sentence: str) -> ErrorPage:
    words = words_of(status)
    came_from = _came_from()
    return ErrorPage(
        status=status,
        title=words.title,
        sentence=sentence or words.sentence,
        next_step=words.next_step,
        request_id=request_id(),
        back=came_from or "/",
        back_label=say("Back to the page") if came_from else say("To the jobs"),
    )


def _came_from() -> str:
    """The path of the site's own page that led here, or nothing."""
    address = urlsplit(request.referrer or "")
    is_ours = address.netloc == request.host and address.path != request.path
    if request.method not in ("GET", "HEAD"):
        is_ours = address.netloc == request.host
    return address.path if is_ours else ""


def _problems(error: LaidtrueError) -> dict[str, object]:
    if not isinstance(error, RecordError):
        return {}
    return {"problems": [_problem(problem) for problem in error.problems]}


def _problem(problem: Problem) -> dict[str, object]:
    """One fault; where several entries were sent, with the number of its own."""
    told: dict[str, object] = {"field": problem.field, "sentence": problem.sentence}
    return told if problem.line is None else told | {"entry": problem.line}


def _answer(page: ErrorPage, besides: dict[str, object] | None = None) -> Response:
    if page.status >= 500:
        g.setdefault("actor", None)  # whoever is signed in: asking could fail once more
    if wants_json():
        body = {
            "status": page.status,
            "title": page.title,
            "sentence": page.sentence,
            "next_step": page.next_step,
            "request": page.request_id,
            **(besides or {}),
        }
        return make_response(jsonify(error=body), page.status)
    template = "errors/conflict.html" if isinstance(page, ConflictPage) else "errors/error.html"
    return make_response(render_page(template, page), page.status)

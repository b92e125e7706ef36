"""What a program sent, read strictly: whole numbers in the query, JSON in the body."""

from __future__ import annotations

from flask import abort, request

from qa.errors import Problem, RecordError
from qa.record.fields import Json
from qa.record.lines import parse_text

LARGEST_BODY_BYTES = 8 * 1024 * 1024
_MOST_DIGITS = 9


def whole(name: str, *, default: int, least: int, most: int) -> int:
    """A whole number of the query.

    Raises:
        RecordError: it is none, or lies outside what is taken.
    """
    written = request.args.get(name)
    if written is None:
        return default
    is_whole = written.isascii() and written.isdigit() and len(written) <= _MOST_DIGITS
    if not is_whole or not least <= int(written) <= most:
        raise refused(name, f"{name} must be a whole number from {least} to {most}.")
    return int(written)


def sent_json() -> Json:
    """The body as JSON.

    Raises:
        RecordError: it is not UTF-8, or no JSON; a field given twice and NaN are none.
    """
    request.max_content_length = LARGEST_BODY_BYTES
    if request.mimetype not in ("application/json", ""):
        abort(415)
    try:
        text = request.get_data(cache=False).decode("utf-8")
    except UnicodeDecodeError as error:
        raise refused(None, "The body is not UTF-8.") from error
    return parse_text(text, "The body")


def refused(field: str | None, sentence: str) -> RecordError:
    """The error of something that was sent and cannot be taken."""
    return RecordError((Problem(place=field or "The request", sentence=sentence, field=field),))

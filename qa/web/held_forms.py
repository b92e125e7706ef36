"""A form that was sent after the sign-in had ended: held through the sign-in, and offered again.

The form's fields travel as one sealed hidden value through the sign-in pages, so that the server
keeps nothing for strangers. Files do not travel; the page says so. Nothing is saved until the
person touches the button of the page that offers it.
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import current_app, request
from itsdangerous import BadData, URLSafeTimedSerializer

from qa.web.frame import render_page

FIELD = "held"
"""Name of the hidden field of the sign-in pages."""
LONGEST_HELD_S = 24 * 3600
_SALT = "a form held through a sign-in"
_NOT_HELD = frozenset({"csrf_token", FIELD})


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldField:
    """One field as it was sent."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldForm:
    """A form that waits for its person.

    Attributes:
        address: where it was sent to, a path of this site with its query.
        fields: what was typed, in its order.
        had_files: whether photographs were sent with it, which must be taken again.
    """

    address: str
    fields: tuple[HeldField, ...]
    had_files: bool


def hold_sent_form() -> str | None:
    """The form of this request as one sealed value, or None where it sends none."""
    if request.method != "POST" or not request.form:
        return None
    return _serializer().dumps(
        {
            "address": request.full_path.rstrip("?"),
            "fields": [
                [name, value]
                for name, value in request.form.items(multi=True)
                if name not in _NOT_HELD
            ],
            "had_files": any(file.filename for file in request.files.values()),
        }
    )


def held_value() -> str | None:
    """The sealed value that a sign-in page carries on; None where there is no good one."""
    value = request.form.get(FIELD)
    return value if value and read_held(value) else None


def read_held(value: str | None) -> HeldForm | None:
    """The form that a sealed value holds; None where there is none or it is no longer good."""
    try:
        held = _serializer().loads(value or "", max_age=LONGEST_HELD_S)
    except BadData:
        return None
    return HeldForm(
        address=held["address"],
        fields=tuple(HeldField(name=name, value=text) for name, text in held["fields"]),
        had_files=held["had_files"],
    )


def offer_again(value: str | None) -> str | None:
    """The page that offers a held form to be saved in one touch, for use right after the sign-in.

    Args:
        value: what `held_value` answered.

    Returns:
        The page, or None where nothing is held and the sign-in leads on as usual.
    """
    held = read_held(value)
    return None if held is None else render_page("held_form.html", held)


def _serializer() -> URLSafeTimedSerializer:
    return URLSafeTimedSerializer(current_app.secret_key or b"", salt=_SALT)

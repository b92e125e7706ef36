"""The session of a browser: begun, carried on under another mark, and ended.

The cookie is signed and holds a person's mark, when they proved who they are, and nothing personal.
A first proof that a second must follow is held apart and makes nobody signed in.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from flask import Response, current_app, g, session

from qa.services.access import Actor
from qa.services.confirming import Confirmation
from qa.services.signing_in import Proof, actor_of
from qa.web import clock
from qa.web.frame import APPEARANCE_COOKIE, APPEARANCES, house

SECOND_WITHIN = timedelta(minutes=10)
_MARK, _PROVEN, _FIRST = "mark", "proven", "first"
_CSRF = "csrf_token"
_A_YEAR_S = 365 * 24 * 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstProof:
    """A password that was right, while a second proof is still asked for.

    Attributes:
        stays: whether the session shall outlast the browser.
        appearance: how pages look to the person.
    """

    session_mark: str
    asks_for_code: bool
    asks_for_passkey: bool
    stays: bool
    appearance: str


def recognise() -> Actor | None:
    """Who is signed in in this browser."""
    mark = session.get(_MARK)
    return actor_of(house(), mark, now=clock.now()) if mark else None


def begin(session_mark: str, *, stays: bool) -> None:
    """Begins a session; nothing of what the browser carried before is left."""
    session.clear()
    _forget_this_request()
    session[_MARK] = session_mark
    session[_PROVEN] = int(clock.now().timestamp())
    session.permanent = stays


def go_on_as(session_mark: str) -> None:
    """Lets this one session go on after a change that has ended all others."""
    session[_MARK] = session_mark
    g.pop("actor", None)


def end() -> None:
    """Ends the session of this browser."""
    session.clear()
    _forget_this_request()


def hold_first_proof(proof: Proof, *, stays: bool) -> None:
    """Holds a first proof until the second is given, for ten minutes."""
    session[_FIRST] = {
        "mark": proof.session_mark,
        "code": proof.asks_for_code,
        "passkey": proof.asks_for_passkey,
        "stays": stays,
        "looks": proof.appearance,
        "at": int(clock.now().timestamp()),
    }


def first_proof() -> FirstProof | None:
    """The first proof that is held, or None where it is too old or the account has changed."""
    held, now = session.get(_FIRST), clock.now()
    if held is None or now - datetime.fromtimestamp(held["at"], UTC) > SECOND_WITHIN:
        return None
    if actor_of(house(), held["mark"], now=now) is None:
        return None
    return FirstProof(
        session_mark=held["mark"],
        asks_for_code=held["code"],
        asks_for_passkey=held["passkey"],
        stays=held["stays"],
        appearance=held["looks"],
    )


def confirmation(password: str | None) -> Confirmation:
    """What confirms that it is the person themselves who uses this session."""
    return Confirmation(password=password or "", proven_at=_proven_at())


def is_fresh() -> bool:
    """Whether they have proved it so recently that no password need be typed."""
    return confirmation(None).is_fresh(clock.now())


def keep_appearance(response: Response, appearance: str) -> None:
    """Lets this browser know how pages look to the person, before anybody is signed in."""
    if appearance not in APPEARANCES:
        response.delete_cookie(APPEARANCE_COOKIE)
        return
    response.set_cookie(
        APPEARANCE_COOKIE,
        appearance,
        max_age=_A_YEAR_S,
        secure=current_app.config["SESSION_COOKIE_SECURE"],
        httponly=True,
        samesite="Lax",
    )


def _proven_at() -> datetime | None:
    seconds = session.get(_PROVEN)
    return None if seconds is None else datetime.fromtimestamp(seconds, UTC)


def _forget_this_request() -> None:
    """Forgets who was there and the token that was made for the session of before."""
    g.pop("actor", None)
    g.pop(_CSRF, None)

"""What every view stands in: the installation, the person who acts, and the page round a template.

Views ask `house()` and `actor()` and hand both to a service; templates get one context value called
`page`, and one called `frame` for what stands round it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from flask import Flask, current_app, g, get_flashed_messages, render_template, request
from flask.typing import ResponseReturnValue

from qa.errors import NotSignedInError
from qa.services.access import Act, Actor
from qa.texts.saying import language, say
from qa.web.csv_files import CsvWay, csv_ways
from qa.web.dates import zones_told

if TYPE_CHECKING:
    from qa.services.installation import Installation

APPEARANCE_COOKIE = "appearance"
"""Holds "light" or "dark" where the person chose; the device decides where it is missing."""
APPEARANCES = ("light", "dark")
SAVED = "saved"
"""Category of a flashed word that tells of something saved; `said` writes it, the page reads it."""
_KEY = "laidtrue"


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """How the site tells who is there, and how it asks; the account pages hand it in.

    Attributes:
        recognise: who is signed in, as far as their roles ask for; None where nobody is.
        ask: the sign-in page, which carries a form held by `qa.web.held_forms` where one is given.
    """

    recognise: Callable[[], Actor | None]
    ask: Callable[[str | None], ResponseReturnValue]


@dataclass(slots=True, kw_only=True)
class Site:
    """What one application is made of.

    Attributes:
        installation: where everything is kept.
        sign_in: None until the account pages are there; then nobody is ever signed in.
        by_token: who acts in a request of a program.
    """

    installation: Installation
    sign_in: SignIn | None = None
    by_token: Callable[[], Actor | None] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A word about what was just done, shown once.

    Attributes:
        text: the sentence.
        entry_id: of the form that was saved, whose draft may be forgotten; or nothing.
    """

    text: str
    entry_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What stands round a page.

    Attributes:
        actor: who is signed in, or None.
        appearance: "light", "dark", or nothing where the device decides.
        path: the page's own address, by which drafts are kept.
        said: what was just done.
        sees_desk: whether the way to the desk is shown.
        language: that the page is written in, such as "en-GB".
        zones: of the times that the page tells.
        csv: the ways to the page's lists as CSV.
    """

    actor: Actor | None
    appearance: str
    path: str
    said: tuple[Said, ...]
    sees_desk: bool
    language: str
    zones: tuple[str, ...]
    csv: tuple[CsvWay, ...]


def found_site(app: Flask, installation: Installation) -> None:
    """Gives an application its installation."""
    app.extensions[_KEY] = Site(installation=installation)


def use_sign_in(app: Flask, sign_in: SignIn) -> None:
    """Gives an application its way of telling who is there."""
    app.extensions[_KEY].sign_in = sign_in


def use_tokens(app: Flask, recognise: Callable[[], Actor | None]) -> None:
    """Gives an application its way of telling for whom a program acts."""
    app.extensions[_KEY].by_token = recognise


def is_of_program() -> bool:
    """Whether the request is a program's, which acts by its token and never by a cookie."""
    return request.endpoint is not None and request.endpoint.startswith("api.")


def site() -> Site:
    """The application that answers this request."""
    return cast("Site", current_app.extensions[_KEY])


def house() -> Installation:
    """The installation that this request is about."""
    return site().installation


def who() -> Actor | None:
    """Who is signed in, or None; asked once in a request."""
    if "actor" not in g:
        sign_in = site().sign_in
        by_session = sign_in.recognise if sign_in else None
        recognise = site().by_token if is_of_program() else by_session
        g.actor = recognise() if recognise else None
    return cast("Actor | None", g.actor)


def actor() -> Actor:
    """Who acts.

    Raises:
        NotSignedInError: nobody is signed in.
    """
    someone = who()
    if someone is None and is_of_program():
        raise NotSignedInError(
            "This needs a token that works, sent as Authorization: Bearer TOKEN. A person makes "
            "one on the page of their account."
        )
    if someone is None:
        raise NotSignedInError(say("Sign in first; you come back to this page afterwards."))
    return someone


def chosen_appearance() -> str:
    """The appearance that the person chose for this device, or nothing."""
    chosen = request.cookies.get(APPEARANCE_COOKIE, "")
    return chosen if chosen in APPEARANCES else ""


def frame() -> Frame:
    """What stands round the page that is being made."""
    someone = who()
    return Frame(
        actor=someone,
        appearance=chosen_appearance(),
        path=request.path,
        said=tuple(_said()),
        sees_desk=someone is not None and someone.may(Act.SEE_DESK),
        language=language().tag,
        zones=zones_told(),
        csv=() if someone is None else csv_ways(),
    )


def render_page(template: str, page: object) -> str:
    """A page as text.

    Args:
        template: below templates/pages, such as "roof/jobs.html".
        page: a frozen context dataclass.
    """
    return render_template(template, page=page, frame=frame())


def _said() -> list[Said]:
    """The words flashed before, each with the entry that its category names."""
    flashed = cast("list[tuple[str, str]]", get_flashed_messages(with_categories=True))
    return [Said(text=text, entry_id=category.partition(":")[2]) for category, text in flashed]

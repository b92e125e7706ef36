"""The list of the firm's people, and of who is invited."""

from __future__ import annotations

from dataclasses import dataclass

from flask import url_for

from qa.services import people
from qa.services.access import Act
from qa.services.people import Colleague, Invited
from qa.texts.saying import say
from qa.web import clock
from qa.web.account.role_words import words_of
from qa.web.dates import day_text, utc_text
from qa.web.frame import actor, house, render_page
from qa.web.people.routing import blueprint


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLine:
    """A person in the list."""

    address: str
    name: str
    roles: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InvitedLine:
    """Somebody who is invited."""

    id: str
    name: str
    email: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EveryonePage:
    """What the list shows.

    Attributes:
        may_invite: whether the way to an invitation is shown.
        may_change_firm: whether the way to the firm's details is.
    """

    firm: str
    here: tuple[PersonLine, ...]
    left: tuple[PersonLine, ...]
    invited: tuple[InvitedLine, ...]
    may_invite: bool
    may_change_firm: bool


@blueprint.get("/people")
def everyone() -> str:
    """The firm's people."""
    someone = actor()
    found = people.everyone(house(), someone, now=clock.now())
    page = EveryonePage(
        firm=found.firm,
        here=tuple(_line(one, _waits(one)) for one in found.here),
        left=tuple(_line(one, _left(one)) for one in found.left),
        invited=tuple(map(_invited, found.invited)),
        may_invite=someone.may(Act.INVITE),
        may_change_firm=someone.may(Act.KEEP_FIRM),
    )
    return render_page("people/everyone.html", page)


def _line(one: Colleague, note: str) -> PersonLine:
    return PersonLine(
        address=url_for("people.person", key=one.key),
        name=one.name,
        roles=words_of(one.roles),
        note=note,
    )


def _waits(one: Colleague) -> str:
    return (
        say("No supervisor yet: the second factor is not set up") if one.owes_second_factor else ""
    )


def _left(one: Colleague) -> str:
    return say("Left on %(day)s", day=day_text(one.ended_at)) if one.ended_at else ""


def _invited(one: Invited) -> InvitedLine:
    what = say("A new password") if one.renews_password else words_of(one.roles).capitalize()
    until = utc_text(one.expires_at)
    return InvitedLine(
        id=one.id,
        name=one.name,
        email=one.email,
        note=say("%(what)s; the link works until %(until)s", what=what, until=until),
    )

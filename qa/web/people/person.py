"""One of the firm's people: what they do, a new password for them, and the end."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services import people
from qa.services.access import Act
from qa.services.people import Colleague
from qa.services.typed_people import read_roles
from qa.texts.saying import say
from qa.web import clock
from qa.web.account.answering import answered
from qa.web.account.role_words import words_of
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.dates import day_text
from qa.web.frame import actor, house, render_page
from qa.web.people.forms import RolesForm
from qa.web.people.invite import link_page
from qa.web.people.routing import blueprint


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonPage:
    """What the page of a person shows.

    Attributes:
        since: when their account was made, in words.
        left: when they left, in words, or nothing.
        may_change: whether the ways to change anything are shown.
        is_self: whether it is the person who looks.
    """

    form: RolesForm
    person: Colleague
    roles: str
    since: str
    left: str
    may_change: bool
    is_self: bool


@blueprint.get("/people/<key>")
def person(key: str) -> str:
    """What is known of a person."""
    found = people.person(house(), actor(), key)
    return _page(_form(found), found)


@blueprint.post("/people/<key>/roles")
def roles(key: str) -> ResponseReturnValue:
    """Changes what a person does."""
    someone = actor()
    found = people.person(house(), someone, key)
    form = RolesForm()

    def do() -> ResponseReturnValue:
        people.change(
            house(), someone, key,
            roles=read_roles(form.roles.data), competence=form.competence.data or "",
            now=clock.now(),
        )  # fmt: skip
        flash(say("Saved what %(name)s does.", name=found.name), SAID_PLAINLY)
        return redirect(url_for("people.person", key=key), 303)

    return answered(form, do, lambda: _page(form, found))


@blueprint.post("/people/<key>/new-password")
def new_password(key: str) -> str:
    """Makes a link for a new password."""
    link = people.link_for_new_password(house(), actor(), key, now=clock.now())
    return link_page(link, renews=True)


@blueprint.post("/people/<key>/end")
def end(key: str) -> ResponseReturnValue:
    """Ends a person's employment."""
    someone = actor()
    found = people.person(house(), someone, key)
    people.end(house(), someone, key, now=clock.now())
    flash(
        say("%(name)s can no longer sign in. What they recorded stays.", name=found.name),
        SAID_PLAINLY,
    )
    return redirect(url_for("people.everyone"), 303)


def _form(found: Colleague) -> RolesForm:
    return RolesForm(
        formdata=None,
        roles=tuple(role.value for role in found.roles),
        competence=found.competence or "",
    )


def _page(form: RolesForm, found: Colleague) -> str:
    someone = actor()
    left = found.ended_at
    page = PersonPage(
        form=form,
        person=found,
        roles=words_of(found.roles),
        since=day_text(found.created_at),
        left=day_text(left) if left else "",
        may_change=someone.may(Act.MANAGE_PEOPLE) and left is None,
        is_self=found.key == someone.key,
    )
    return render_page("people/person.html", page)

"""Inviting people, and ending an invitation."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services import inviting
from qa.services.access import Role
from qa.services.inviting import Link
from qa.services.typed_people import read_person
from qa.texts.saying import say
from qa.web import clock
from qa.web.account.answering import answered
from qa.web.account.role_words import ROLE_OPTIONS
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.dates import utc_text
from qa.web.frame import actor, house, render_page
from qa.web.people.forms import InviteForm
from qa.web.people.routing import blueprint


@dataclass(frozen=True, slots=True, kw_only=True)
class InvitePage:
    """What the page shows that invites somebody."""

    form: InviteForm


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkPage:
    """What the page shows that shows a link, this once.

    Attributes:
        renews: whether it is for a new password.
        until: until when it works, in words.
    """

    name: str
    email: str
    address: str
    renews: bool
    until: str


@blueprint.route("/people/invite", methods=["GET", "POST"])
def invite() -> ResponseReturnValue:
    """Invites a person."""
    form, someone = InviteForm(roles=(Role.INSTALLER.value,)), actor()
    if Role.OWNER not in someone.roles:
        form.roles.options = tuple(one for one in ROLE_OPTIONS if one.value != Role.OWNER)

    def do() -> ResponseReturnValue:
        person = read_person(email=form.email.data, name=form.name.data, roles=form.roles.data)
        return link_page(inviting.invite(house(), someone, person, now=clock.now()), renews=False)

    return answered(form, do, lambda: render_page("people/invite.html", InvitePage(form=form)))


@blueprint.post("/people/invitations/<invitation>/end")
def invitation_end(invitation: str) -> ResponseReturnValue:
    """Ends an invitation."""
    inviting.end_invitation(house(), actor(), invitation, now=clock.now())
    flash(say("The invitation is ended; its link does not work any more."), SAID_PLAINLY)
    return redirect(url_for("people.everyone"), 303)


def link_page(link: Link, *, renews: bool) -> str:
    """The page that shows a link, this once."""
    page = LinkPage(
        name=link.name,
        email=link.email,
        address=link.address,
        renews=renews,
        until=utc_text(link.expires_at),
    )
    return render_page("people/link.html", page)

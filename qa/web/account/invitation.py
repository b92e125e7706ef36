"""What a link leads to: a new account, or a new password for one that is there."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, make_response, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services.accepting import accept as accept_invitation
from qa.services.inviting import firm_that_invites, look_at
from qa.store.invitations import Invitation
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.forms import AcceptForm, RenewForm
from qa.web.account.role_words import words_of
from qa.web.account.routing import blueprint
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.frame import house, render_page


@dataclass(frozen=True, slots=True, kw_only=True)
class InvitationPage:
    """What the page of an invitation shows.

    Attributes:
        renews: whether it gives an account a new password.
        roles: what the person will do, in words.
        firm: that invites them.
    """

    form: AcceptForm | RenewForm
    renews: bool
    email: str
    roles: str
    firm: str


@blueprint.route("/invitations/<token>", methods=["GET", "POST"])
def accept(token: str) -> ResponseReturnValue:
    """Accepts an invitation."""
    invitation = look_at(house(), token, now=clock.now())
    renews = invitation.person_id is not None
    form = RenewForm() if renews else AcceptForm(name=invitation.name)

    def do() -> ResponseReturnValue:
        typed_name = form.name.data if isinstance(form, AcceptForm) else invitation.name
        accepted = accept_invitation(
            house(), token, name=typed_name, password=form.password.data, now=clock.now()
        )
        return _follow(accepted.session_mark)

    return answered(form, do, lambda: _page(form, invitation))


def _page(form: AcceptForm | RenewForm, invitation: Invitation) -> str:
    page = InvitationPage(
        form=form,
        renews=invitation.person_id is not None,
        email=invitation.email,
        roles=words_of(invitation.roles),
        firm=firm_that_invites(house(), invitation),
    )
    return render_page("account/accept.html", page)


def _follow(session_mark: str | None) -> ResponseReturnValue:
    if session_mark is None:
        sessions.end()
        flash(say("Your new password stands. Sign in with it."), SAID_PLAINLY)
        return redirect(url_for("account.sign_in"), 303)
    sessions.begin(session_mark, stays=True)
    return make_response(redirect(url_for("account.welcome"), 303))

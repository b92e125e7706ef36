"""A person's own account, its password, and how pages look to them."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, make_response, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.services import own_account
from qa.services.access import Act
from qa.services.own_account import Appearance, OwnAccount
from qa.texts.saying import say, to_say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.forms import PasswordForm
from qa.web.account.local_address import local_address
from qa.web.account.role_words import words_of
from qa.web.account.routing import blueprint
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.form_fields import Option
from qa.web.frame import actor, house, render_page, who

LOOKS = (
    Option(value=Appearance.AUTO, label=to_say("As the phone is set")),
    Option(value=Appearance.LIGHT, label=to_say("Light, for the sun")),
    Option(value=Appearance.DARK, label=to_say("Dark")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MePage:
    """What the page of one's own account shows.

    Attributes:
        roles: in words.
        owes_second_factor: whether a role waits for one.
        sees_people: whether the way to the firm's people is shown.
        sends_events: whether the way to the firm's webhooks is shown.
    """

    own: OwnAccount
    roles: str
    owes_second_factor: bool
    sees_people: bool
    sends_events: bool
    looks: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PasswordPage:
    """What the page of another password shows."""

    form: PasswordForm
    email: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpPage:
    """What the page shows that leads to a second factor.

    Attributes:
        is_owed: whether a role waits for it.
    """

    is_owed: bool


@blueprint.get("/me")
def me() -> str:
    """What the account holds, and the ways to change it."""
    someone = actor()
    own = own_account.own_account(house(), someone)
    page = MePage(
        own=own,
        roles=words_of(own.roles),
        owes_second_factor=someone.owes_second_factor,
        sees_people=someone.may(Act.SEE_PEOPLE),
        sends_events=someone.may(Act.SEND_EVENTS),
        looks=LOOKS,
    )
    return render_page("account/me.html", page)


@blueprint.get("/me/welcome")
def welcome() -> ResponseReturnValue:
    """Leads a new person on: to a second factor where their role asks for one, else to the jobs."""
    return redirect(url_for("account.set_up") if actor().owes_second_factor else "/", 303)


@blueprint.get("/me/second-factor")
def set_up() -> str:
    """Leads to the two ways of proving oneself by more than a password."""
    return render_page("account/set_up.html", SetUpPage(is_owed=actor().owes_second_factor))


@blueprint.route("/me/password", methods=["GET", "POST"])
def password() -> ResponseReturnValue:
    """Another password."""
    form, someone = PasswordForm(), actor()

    def do() -> ResponseReturnValue:
        mark = own_account.change_password(
            house(), someone,
            former=form.password.data, password=form.new_password.data, now=clock.now(),
        )  # fmt: skip
        sessions.go_on_as(mark)
        flash(say("Your new password stands. You are signed out everywhere else."), SAID_PLAINLY)
        return redirect(url_for("account.me"), 303)

    def page() -> str:
        email = own_account.own_account(house(), someone).email
        return render_page("account/password.html", PasswordPage(form=form, email=email))

    return answered(form, do, page)


@blueprint.post("/me/sign-out-everywhere")
def sign_out_everywhere() -> ResponseReturnValue:
    """Ends every session of the person, this one too."""
    own_account.sign_out_everywhere(house(), actor())
    sessions.end()
    flash(say("You are signed out everywhere."), SAID_PLAINLY)
    return redirect(url_for("account.sign_in"), 303)


@blueprint.post("/me/appearance")
def appearance() -> ResponseReturnValue:
    """How pages look: on this phone, and for a person who is signed in on all of theirs."""
    sent = request.form.get("appearance", "")
    chosen = Appearance(sent) if sent in set(Appearance) else Appearance.AUTO
    someone = who()
    if someone is not None:
        own_account.choose_appearance(house(), someone, chosen)
    then = local_address(request.form.get("next") or url_for("account.me"))
    response = make_response(redirect(then, 303))
    sessions.keep_appearance(response, chosen)
    return response

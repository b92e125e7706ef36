"""An authenticator: its picture, its first code, and its end."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.services import authenticators
from qa.services.authenticators import SetUp
from qa.services.own_account import own_account
from qa.services.second_factor import Renewed
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.forms import AuthenticatorForm, ConfirmForm
from qa.web.account.recovery import codes_page
from qa.web.account.routing import blueprint
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.frame import actor, house, render_page

SEALED = "sealed"
"""Hidden field in which the secret travels, sealed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AuthenticatorPage:
    """What the page of a new authenticator shows.

    Attributes:
        set_up: the picture and the secret.
        has_one: whether it takes the place of one.
        asks_password: whether the password must be typed again.
    """

    form: AuthenticatorForm
    set_up: SetUp
    has_one: bool
    asks_password: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RemovePage:
    """What the page shows that takes an authenticator away."""

    form: ConfirmForm
    asks_password: bool


@blueprint.route("/me/authenticator", methods=["GET", "POST"])
def authenticator() -> ResponseReturnValue:
    """Sets an authenticator up."""
    form, someone = AuthenticatorForm(), actor()
    sealed = request.form.get(SEALED, "")

    def do() -> ResponseReturnValue:
        renewed = authenticators.finish_authenticator(
            house(), someone, sealed=sealed, code=form.code.data,
            confirmation=sessions.confirmation(form.password.data), now=clock.now(),
        )  # fmt: skip
        return follow(renewed, say("Your authenticator is set up."))

    def page() -> str:
        context = AuthenticatorPage(
            form=form,
            set_up=authenticators.go_on_with(house(), someone, sealed, now=clock.now()),
            has_one=own_account(house(), someone).has_authenticator,
            asks_password=not sessions.is_fresh(),
        )
        return render_page("account/authenticator.html", context)

    return answered(form, do, page)


@blueprint.route("/me/authenticator/remove", methods=["GET", "POST"])
def remove_authenticator() -> ResponseReturnValue:
    """Takes the authenticator away."""
    form, someone = ConfirmForm(), actor()

    def do() -> ResponseReturnValue:
        renewed = authenticators.remove_authenticator(
            house(), someone, sessions.confirmation(form.password.data), now=clock.now()
        )
        return follow(renewed, say("Your authenticator is removed."))

    def page() -> str:
        context = RemovePage(form=form, asks_password=not sessions.is_fresh())
        return render_page("account/remove_authenticator.html", context)

    return answered(form, do, page)


def follow(renewed: Renewed, word: str) -> ResponseReturnValue:
    """What follows a change of the second factor: the recovery codes where they are new."""
    sessions.go_on_as(renewed.session_mark)
    if renewed.recovery_codes:
        return codes_page(renewed.recovery_codes, word)
    flash(say("%(word)s You are signed out everywhere else.", word=word), SAID_PLAINLY)
    return redirect(url_for("account.me"), 303)

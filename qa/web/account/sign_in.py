"""Signing in by password and second proof, and signing out."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, make_response, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.services.signing_in import prove_by_code, prove_by_password
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.forms import SecondForm, SignInForm
from qa.web.account.local_address import next_address
from qa.web.account.routing import blueprint
from qa.web.frame import house, render_page, who
from qa.web.held_forms import held_value, offer_again

SAID_PLAINLY = "message"
"""Category of a flashed word that is about no entry."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInPage:
    """What the sign-in page shows.

    Attributes:
        next: where the sign-in leads to.
        held: a form that waits, as `qa.web.held_forms` seals it, or None.
    """

    form: SignInForm
    next: str
    held: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondPage:
    """What the page of the second proof shows.

    Attributes:
        next, held: as on the sign-in page.
        asks_for_code: whether there is an authenticator.
        asks_for_passkey: whether there is a passkey.
    """

    form: SecondForm
    next: str
    held: str | None
    asks_for_code: bool
    asks_for_passkey: bool


def ask(held: str | None) -> ResponseReturnValue:
    """The sign-in page in the place of a page that asks for a signed-in person.

    Args:
        held: the form that was sent there, sealed, or None; a form of the account itself holds
            passwords, and is typed again.
    """
    if who() is not None:  # signed in, but not as far as their role asks for
        return redirect(url_for("account.set_up"), 303)
    form = SignInForm(formdata=None)
    form.stays.process_data(True)
    kept = None if request.blueprint == blueprint.name else held
    page = SignInPage(form=form, next=request.full_path.rstrip("?"), held=kept)
    return render_page("account/sign_in.html", page), 401


@blueprint.route("/sign-in", methods=["GET", "POST"])
def sign_in() -> ResponseReturnValue:
    """The first proof."""
    someone = who()
    if someone is not None and request.method == "GET":
        return redirect(
            url_for("account.set_up") if someone.owes_second_factor else next_address(), 303
        )
    form = SignInForm(stays=True)
    if form.sent and form.validate():
        proof = prove_by_password(
            house(), form.email.data, form.password.data,
            address=request.remote_addr or "", now=clock.now(),
        )  # fmt: skip
        if proof is None:
            form.faults.append(say("E-mail and password do not fit together. Type both again."))
        elif proof.is_enough:
            return let_in(proof.session_mark, proof.appearance, stays=form.stays.data)
        else:
            sessions.hold_first_proof(proof, stays=form.stays.data)
            return _lead_to_second()
    page = SignInPage(form=form, next=next_address(), held=held_value())
    return render_page("account/sign_in.html", page), 400 if form.sent else 200


@blueprint.route("/sign-in/second", methods=["GET", "POST"])
def second() -> ResponseReturnValue:
    """The second proof."""
    first = sessions.first_proof()
    if first is None:
        return redirect(url_for("account.sign_in", next=next_address()), 303)
    form = SecondForm()
    if form.sent and form.validate():
        if prove_by_code(house(), first.session_mark, form.code.data, now=clock.now()):
            return let_in(first.session_mark, first.appearance, stays=first.stays)
        form.code.errors = (say("This code does not fit, or was used. Wait for the next one."),)
        form.code.typed = ""
    return second_page(form, first), 400 if form.sent else 200


@blueprint.post("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Ends the session of this browser."""
    sessions.end()
    flash(say("You are signed out."), SAID_PLAINLY)
    return redirect(url_for("account.sign_in"), 303)


def second_page(form: SecondForm, first: sessions.FirstProof) -> str:
    """The page of the second proof."""
    page = SecondPage(
        form=form,
        next=next_address(),
        held=held_value(),
        asks_for_code=first.asks_for_code,
        asks_for_passkey=first.asks_for_passkey,
    )
    return render_page("account/second.html", page)


def let_in(session_mark: str, appearance: str, *, stays: bool) -> ResponseReturnValue:
    """Begins the session, and leads on to the form that waits or the page that was asked for.

    Args:
        session_mark: of whoever has proved who they are.
        appearance: how pages look to them.
        stays: whether the session outlasts the browser.
    """
    held, next_page = held_value(), next_address()
    sessions.begin(session_mark, stays=stays)
    offered = offer_again(held)
    response = make_response(offered or redirect(next_page, 303))
    sessions.keep_appearance(response, appearance)
    return response


def _lead_to_second() -> ResponseReturnValue:
    """A form that waits is too long for an address, so the page that carries it answers at once."""
    first = sessions.first_proof()
    if held_value() and first is not None:
        return second_page(SecondForm(formdata=None), first)
    return redirect(url_for("account.second", next=next_address()), 303)

"""A person's passkeys: the list, a new one, and the end of one."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Response, jsonify, request
from flask.typing import ResponseReturnValue

from qa.errors import AccountError
from qa.services import passkeys as held_passkeys
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.authenticator import follow
from qa.web.account.forms import ConfirmForm, PasskeyForm
from qa.web.account.routing import blueprint
from qa.web.dates import day_text
from qa.web.frame import actor, house, render_page


@dataclass(frozen=True, slots=True, kw_only=True)
class PasskeyLine:
    """A passkey in the list."""

    id: str
    name: str
    made: str
    used: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PasskeysPage:
    """What the page of passkeys shows."""

    form: PasskeyForm
    passkeys: tuple[PasskeyLine, ...]
    asks_password: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RemovePage:
    """What the page shows that takes a passkey away."""

    form: ConfirmForm
    name: str
    asks_password: bool


@blueprint.route("/me/passkeys", methods=["GET", "POST"])
def passkeys() -> ResponseReturnValue:
    """The list; sent by the script, a new passkey."""
    form, someone = PasskeyForm(), actor()

    def do() -> ResponseReturnValue:
        renewed = held_passkeys.add_passkey(
            house(), someone, request.form.get("answer", ""),
            name=form.name.data or "", now=clock.now(),
        )  # fmt: skip
        return follow(renewed, say("Your passkey is set up."))

    def page() -> str:
        context = PasskeysPage(form=form, passkeys=_lines(), asks_password=not sessions.is_fresh())
        return render_page("account/passkeys.html", context)

    return answered(form, do, page)


@blueprint.post("/me/passkeys/question")
def new_passkey_options() -> ResponseReturnValue:
    """What the browser needs to make a passkey, as JSON; a wrong password is answered in words."""
    confirmation = sessions.confirmation(request.form.get("password"))
    try:
        question = held_passkeys.ask_for_new_passkey(
            house(), actor(), confirmation, now=clock.now()
        )
    except AccountError as error:
        return jsonify(sentence=str(error)), 400
    return Response(question, mimetype="application/json")


@blueprint.route("/me/passkeys/<passkey>/remove", methods=["GET", "POST"])
def remove_passkey(passkey: str) -> ResponseReturnValue:
    """Takes a passkey away."""
    form, someone = ConfirmForm(), actor()
    held = held_passkeys.passkey(house(), someone, passkey)

    def do() -> ResponseReturnValue:
        renewed = held_passkeys.remove_passkey(
            house(), someone, held.id, sessions.confirmation(form.password.data), now=clock.now()
        )
        return follow(renewed, say("The passkey %(name)s is removed.", name=held.name))

    def page() -> str:
        context = RemovePage(form=form, name=held.name, asks_password=not sessions.is_fresh())
        return render_page("account/remove_passkey.html", context)

    return answered(form, do, page)


def _lines() -> tuple[PasskeyLine, ...]:
    return tuple(
        PasskeyLine(
            id=one.id,
            name=one.name,
            made=day_text(one.created_at),
            used=day_text(one.used_at) if one.used_at else say("not yet"),
        )
        for one in held_passkeys.passkeys_of(house(), actor())
    )

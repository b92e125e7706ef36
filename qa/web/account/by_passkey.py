"""Signing in by a passkey: the question that a script asks for, and the answer that it sends."""

from __future__ import annotations

from flask import Response, flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.services.passkey_sign_in import ask_for_passkey, prove_by_passkey
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.local_address import next_address
from qa.web.account.routing import blueprint
from qa.web.account.sign_in import SAID_PLAINLY, let_in
from qa.web.frame import house

SECOND = "second"
"""Field that says that the page of the second proof asks."""


@blueprint.post("/sign-in/passkey/question")
def passkey_options() -> Response:
    """What the browser needs, as JSON."""
    question = ask_for_passkey(
        house(), session_mark=_first_mark(), address=request.remote_addr or "", now=clock.now()
    )
    return Response(question, mimetype="application/json")


@blueprint.post("/sign-in/passkey/answer")
def passkey_answer() -> ResponseReturnValue:
    """The answer of the browser, sent as a form."""
    answer, first_mark = request.form.get("answer", ""), _first_mark()
    proof = prove_by_passkey(house(), answer, session_mark=first_mark, now=clock.now())
    if proof is None:
        flash(say("This passkey is not known here, or the answer came too late."), SAID_PLAINLY)
        back = "account.second" if first_mark else "account.sign_in"
        return redirect(url_for(back, next=next_address()), 303)
    first = sessions.first_proof()
    stays = first.stays if first_mark and first else "stays" in request.form
    return let_in(proof.session_mark, proof.appearance, stays=stays)


def _first_mark() -> str | None:
    first = sessions.first_proof() if SECOND in request.form else None
    return first.session_mark if first else None

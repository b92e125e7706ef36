"""How the firm is called and reached."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services.firm_details import FirmDetails, change_firm, firm_details
from qa.texts.saying import say
from qa.web.account.answering import answered
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.frame import actor, house, render_page
from qa.web.people.forms import FirmForm
from qa.web.people.routing import blueprint


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmPage:
    """What the page of the firm shows."""

    form: FirmForm


@blueprint.route("/firm", methods=["GET", "POST"])
def firm() -> ResponseReturnValue:
    """Changes how the firm is called and reached."""
    now = firm_details(house(), actor())
    form = FirmForm(name=now.name, address=now.address, phone=now.phone, email=now.email)

    def do() -> ResponseReturnValue:
        typed = FirmDetails(
            name=form.name.data or "",
            address=form.address.data or "",
            phone=form.phone.data or "",
            email=form.email.data or "",
        )
        change_firm(house(), actor(), typed)
        flash(say("Kept. Jobs that start from now on say it so."), SAID_PLAINLY)
        return redirect(url_for("people.everyone"), 303)

    return answered(form, do, lambda: render_page("people/firm.html", FirmPage(form=form)))

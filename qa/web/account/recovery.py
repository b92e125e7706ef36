"""Recovery codes, shown once when they are made."""

from __future__ import annotations

from dataclasses import dataclass

from flask.typing import ResponseReturnValue

from qa.services import recovery as codes
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.forms import ConfirmForm
from qa.web.account.routing import blueprint
from qa.web.frame import actor, house, render_page


@dataclass(frozen=True, slots=True, kw_only=True)
class RecoveryPage:
    """What the page shows that makes new recovery codes.

    Attributes:
        left: how many can still be used.
    """

    form: ConfirmForm
    left: int
    asks_password: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CodesPage:
    """What the page shows that shows the codes.

    Attributes:
        word: what was done just now.
    """

    codes: tuple[str, ...]
    word: str


@blueprint.route("/me/recovery-codes", methods=["GET", "POST"])
def recovery() -> ResponseReturnValue:
    """Makes new recovery codes."""
    form, someone = ConfirmForm(), actor()

    def do() -> ResponseReturnValue:
        confirmation = sessions.confirmation(form.password.data)
        fresh = codes.renew_recovery_codes(house(), someone, confirmation, now=clock.now())
        return codes_page(fresh, say("The former codes do not work any more."))

    def page() -> str:
        context = RecoveryPage(
            form=form,
            left=codes.recovery_codes_left(house(), someone),
            asks_password=not sessions.is_fresh(),
        )
        return render_page("account/recovery.html", context)

    return answered(form, do, page)


def codes_page(fresh: tuple[str, ...], word: str) -> str:
    """The page that shows new codes, this once."""
    return render_page("account/codes.html", CodesPage(codes=fresh, word=word))

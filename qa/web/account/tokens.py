"""A person's tokens for other programs: the list, a new one shown once, and the end of one."""

from __future__ import annotations

from dataclasses import dataclass, field

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services import api_tokens
from qa.services.api_tokens import NewToken
from qa.texts.saying import say
from qa.web import clock
from qa.web.account import sessions
from qa.web.account.answering import answered
from qa.web.account.forms import ConfirmForm, TokenForm
from qa.web.account.routing import blueprint
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.dates import day_text
from qa.web.frame import actor, house, render_page


@dataclass(frozen=True, slots=True, kw_only=True)
class TokenLine:
    """A token in the list."""

    id: str
    name: str
    made: str
    ends: str
    used: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TokensPage:
    """What the page of tokens shows."""

    form: TokenForm
    tokens: tuple[TokenLine, ...]
    asks_password: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TokenMadePage:
    """What the page shows that shows a token, this once."""

    name: str
    token: str = field(repr=False)
    ends: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EndTokenPage:
    """What the page shows that ends a token."""

    form: ConfirmForm
    name: str
    asks_password: bool


@blueprint.route("/me/tokens", methods=["GET", "POST"])
def tokens() -> ResponseReturnValue:
    """The list; sent, a new token."""
    form, someone = TokenForm(days=str(api_tokens.LASTS[0])), actor()

    def do() -> ResponseReturnValue:
        made = api_tokens.make_token(
            house(), someone, sessions.confirmation(form.password.data),
            name=form.name.data or "", days=_days(form.days.data), now=clock.now(),
        )  # fmt: skip
        return _made_page(made)

    def page() -> str:
        context = TokensPage(form=form, tokens=_lines(), asks_password=not sessions.is_fresh())
        return render_page("account/tokens.html", context)

    return answered(form, do, page)


@blueprint.route("/me/tokens/<api_token>/end", methods=["GET", "POST"])
def end_token(api_token: str) -> ResponseReturnValue:
    """Ends a token."""
    form, someone = ConfirmForm(), actor()
    held = api_tokens.token(house(), someone, api_token, now=clock.now())

    def do() -> ResponseReturnValue:
        confirmation = sessions.confirmation(form.password.data)
        api_tokens.end_token(house(), someone, held.id, confirmation, now=clock.now())
        flash(say("The token of %(name)s has ended.", name=held.name), SAID_PLAINLY)
        return redirect(url_for("account.tokens"), 303)

    def page() -> str:
        context = EndTokenPage(form=form, name=held.name, asks_password=not sessions.is_fresh())
        return render_page("account/end_token.html", context)

    return answered(form, do, page)


def _made_page(made: NewToken) -> str:
    page = TokenMadePage(name=made.name, token=made.token, ends=day_text(made.expires_at))
    return render_page("account/token_made.html", page)


def _days(chosen: str | None) -> int:
    return int(chosen) if chosen and chosen.isascii() and chosen.isdigit() else 0


def _lines() -> tuple[TokenLine, ...]:
    return tuple(
        TokenLine(
            id=one.id,
            name=one.name,
            made=day_text(one.created_at),
            ends=day_text(one.expires_at),
            used=day_text(one.used_at) if one.used_at else say("not yet"),
        )
        for one in api_tokens.tokens_of(house(), actor(), now=clock.now())
    )

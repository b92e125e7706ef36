"""The answer to a page with a form about an account or a person."""

from __future__ import annotations

from collections.abc import Callable

from flask.typing import ResponseReturnValue

from qa.errors import AccountError
from qa.web.forms import SiteForm


def answered(
    form: SiteForm, do: Callable[[], ResponseReturnValue], page: Callable[[], str]
) -> ResponseReturnValue:
    """The answer, whether the form is shown or sent.

    Args:
        form: of this request.
        do: calls one service and answers what follows.
        page: makes the page with the form in it; called again where something cannot be taken.
    """
    if not form.sent:
        return page()
    if form.validate():
        try:
            return do()
        except AccountError as error:
            form.take(error.problems)
    return page(), 400

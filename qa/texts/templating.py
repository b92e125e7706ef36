"""Lets templates say texts: `{{ _("…") }}`, and `{% trans %}` where values or a number stand in."""

from __future__ import annotations

from typing import Any, cast

from jinja2 import Environment

from qa.texts.saying import language


def let_speak(environment: Environment) -> None:
    """Gives an environment of templates the marks of a text.

    What stands in a text is markup already; values that are put into it are escaped as everywhere.
    Line ends and indents inside a text are blanks.
    """
    environment.add_extension("jinja2.ext.i18n")
    environment.policies["ext.i18n.trimmed"] = True
    cast("Any", environment).install_gettext_callables(_text, _counted, newstyle=True)
    environment.globals["_"] = environment.globals["gettext"]


def _text(english: str) -> str:
    return language().text(english)


def _counted(one: str, many: str, number: int) -> str:
    return language().counted(one, many, number)

"""Signing in and out, and what a person keeps of their own account.

A module of this package holds the routes of one subject and hangs them on `blueprint`; all of them
are imported here, so that none is forgotten.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from flask import Flask

from qa.web.account.routing import blueprint
from qa.web.account.sessions import recognise
from qa.web.account.sign_in import ask
from qa.web.frame import SignIn, use_sign_in

__all__ = ["blueprint", "prepare"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")


def prepare(app: Flask) -> None:
    """Lets the site tell who is there by the sessions of these pages."""
    use_sign_in(app, SignIn(recognise=recognise, ask=ask))

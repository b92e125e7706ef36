"""The interface for other programs: JSON in and out, a token with every request, never a cookie.

A module of this package holds the routes of one subject and hangs them on `blueprint`; all of them
are imported here, so that none is forgotten.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from flask import Flask

from qa.web.api.bearer import recognise
from qa.web.api.routing import blueprint
from qa.web.frame import use_tokens

__all__ = ["blueprint", "prepare"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")


def prepare(app: Flask) -> None:
    """Lets the site tell who acts in requests to this interface by the token that they carry."""
    use_tokens(app, recognise)

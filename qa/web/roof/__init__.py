"""The installer's side of the site: jobs, their record, and everything that is done on a roof.

A module of this package holds the routes of one subject and hangs them on `blueprint`, which it
takes from `qa.web.roof.routing`; all of them are imported here, so that none is forgotten.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from qa.web.roof.routing import blueprint

__all__ = ["blueprint"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

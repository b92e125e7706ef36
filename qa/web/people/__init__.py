"""The firm's people: the list, invitations, what each may do, and the end of an employment."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from qa.web.people.routing import blueprint

__all__ = ["blueprint"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

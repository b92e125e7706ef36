"""The homeowner's side: the pack as a page, the care of the roof, reports of trouble, by a link."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from qa.web.owner.routing import blueprint

__all__ = ["blueprint"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

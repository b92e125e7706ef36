"""Webhooks: addresses of other programs that are told of the firm's events, and what was sent."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from qa.web.webhooks.routing import blueprint

__all__ = ["blueprint"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

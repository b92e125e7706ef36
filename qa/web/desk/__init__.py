"""The desk: what needs somebody, searching, batches, and lists across the firm's jobs."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from qa.web.desk.routing import blueprint

__all__ = ["blueprint"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

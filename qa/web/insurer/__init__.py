"""The insurer's side, read only: the record with its originals, what it proves, and questions."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from qa.web.insurer.routing import blueprint

__all__ = ["blueprint"]

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

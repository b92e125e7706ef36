"""Fixtures of the tests that need a served site and a browser; see `tests.flow.browser`."""

from __future__ import annotations

from tests.flow.browser import browser, desk, phone, site
from tests.flow.roof_visitor import roof

__all__ = ["browser", "desk", "phone", "roof", "site"]

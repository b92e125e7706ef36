"""The blueprint of the account pages, apart from the package so that its modules can import it."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("account", __name__)

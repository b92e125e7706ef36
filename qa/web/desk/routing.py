"""The blueprint of the desk's pages, apart from the package so that its modules can import it."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("desk", __name__)

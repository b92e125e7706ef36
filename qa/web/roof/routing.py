"""The blueprint of the roof pages, apart from the package so that its modules can import it."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("roof", __name__)

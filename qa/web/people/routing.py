"""The blueprint of the pages about the firm's people, apart from the package for its modules."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("people", __name__)

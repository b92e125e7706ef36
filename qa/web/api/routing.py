"""The blueprint of the interface for programs, apart so that its modules can import it."""

from __future__ import annotations

from flask import Blueprint

from qa.web import uploads

NAME = "api"
blueprint = Blueprint(NAME, __name__, url_prefix="/api/v1")
blueprint.register_blueprint(uploads.blueprint)

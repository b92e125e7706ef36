"""The blueprint of the pages about webhooks, apart from the package for its modules."""

from __future__ import annotations

from flask import Blueprint

blueprint = Blueprint("webhooks", __name__)

"""The blueprint of the owner's pages, apart from the package for its modules."""

from __future__ import annotations

from flask import Blueprint

from qa.web.shared_links import guard_face

blueprint = Blueprint("owner", __name__)
guard_face(blueprint)

"""Help, static files, and the two addresses by which a keeper's program asks how the site is."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, jsonify
from flask.typing import ResponseReturnValue
from sqlalchemy import text

from qa.web.frame import house, render_page
from qa.web.static_files import send_asset

blueprint = Blueprint("site", __name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpPage:
    """The help page has no values of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WebhooksHelpPage:
    """The help page for those who write programs has no values of its own."""


@blueprint.get("/help")
def help() -> str:  # noqa: A001 - the endpoint is site.help
    """How the roof side works, in plain words."""
    return render_page("site/help.html", HelpPage())


@blueprint.get("/help/webhooks")
def webhooks() -> str:
    """How another program is told of events, for whoever writes it."""
    return render_page("site/webhooks.html", WebhooksHelpPage())


@blueprint.get("/static/<edition>/<path:name>")
def asset(edition: str, name: str) -> Response:
    """A style sheet, script or face."""
    return send_asset(edition, name)


@blueprint.get("/healthz")
def healthy() -> ResponseReturnValue:
    """Whether the process answers."""
    return jsonify(healthy=True)


@blueprint.get("/readyz")
def ready() -> ResponseReturnValue:
    """Whether the database answers."""
    with house().store.reading() as session:
        session.execute(text("SELECT 1"))
    return jsonify(ready=True)

"""The parts of the site put together, in the order in which a request meets them."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from flask import Flask, request
from jinja2 import StrictUndefined
from werkzeug.middleware.proxy_fix import ProxyFix

from qa.packs.templating import templates_folder
from qa.services.vault import derived_key
from qa.web import account, api, desk, insurer, owner, people, roof, site, uploads, webhooks
from qa.web.access import check_access
from qa.web.compiled_templates import CompiledTemplates
from qa.web.compression import send_compressed
from qa.web.cross_site import check_origin, protect
from qa.web.errors import answer_errors
from qa.web.frame import found_site
from qa.web.headers import put_headers
from qa.web.language import speak_to_readers
from qa.web.request_log import keep_log
from qa.web.static_files import serve_static

if TYPE_CHECKING:
    from qa.services.installation import Installation

LARGEST_FORM_BYTES = 64 * 1024 * 1024
"""A form with the largest photograph a phone makes."""
LARGEST_FOLDER_BYTES = 2 * 1024**3
"""A job folder with all its photographs, or two hundred of them."""
_FOLDER_ROUTES = frozenset({"roof.take_in", "roof.bulk"})
LONGEST_SESSION = timedelta(days=30)
_COMPILED = CompiledTemplates()


def assemble(installation: Installation) -> Flask:
    """The application of an installation."""
    app = Flask("qa", static_folder=None, template_folder=str(templates_folder() / "pages"))
    _configure(app, installation)
    _trust_proxies(app, installation.settings.proxies)
    found_site(app, installation)
    keep_log(app)
    speak_to_readers(app)
    app.before_request(_bound_size)
    app.before_request(check_origin)
    app.before_request(check_access)  # before the token: a session that ended has none to compare
    protect(app)
    app.after_request(put_headers)
    send_compressed(app)
    answer_errors(app)
    serve_static(app)
    account.prepare(app)
    api.prepare(app)
    for part in (site, account, people, roof, owner, insurer, uploads, desk, webhooks, api):
        app.register_blueprint(part.blueprint)
    return app


def _configure(app: Flask, installation: Installation) -> None:
    secure = installation.settings.origin.startswith("https:")
    app.config.update(
        SECRET_KEY=derived_key(installation.seal_key, "session cookies"),
        SESSION_COOKIE_NAME="__Host-laidtrue" if secure else "laidtrue",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_SECURE=secure,
        PERMANENT_SESSION_LIFETIME=LONGEST_SESSION,
        MAX_CONTENT_LENGTH=LARGEST_FORM_BYTES,
    )
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    app.jinja_env.bytecode_cache = _COMPILED


def _trust_proxies(app: Flask, proxies: int) -> None:
    """Takes who asks, and by which way, from what this many proxies add to a request."""
    if proxies:
        fixed = ProxyFix(app.wsgi_app, x_for=proxies, x_proto=proxies, x_host=proxies)
        app.wsgi_app = fixed  # type: ignore[method-assign]


def _bound_size() -> None:
    if request.endpoint in _FOLDER_ROUTES:
        request.max_content_length = LARGEST_FOLDER_BYTES

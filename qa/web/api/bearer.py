"""Who acts in a request of a program: whoever's token it carries (RFC 6750, the header only)."""

from __future__ import annotations

from flask import Response, request

from qa.services.access import Actor
from qa.services.api_tokens import actor_by_token
from qa.web import clock
from qa.web.api.routing import blueprint
from qa.web.frame import house


def recognise() -> Actor | None:
    """Whose token the request carries; a cookie tells nothing here."""
    sent = request.authorization
    if sent is None or sent.type != "bearer" or not sent.token:
        return None
    address = request.remote_addr or ""
    return actor_by_token(house(), sent.token, address=address, now=clock.now())


@blueprint.after_request
def put_headers(response: Response) -> Response:
    """Keeps answers out of caches, and says how to prove oneself where that was not done."""
    response.headers.setdefault("Cache-Control", "no-store")
    if response.status_code == 401:
        response.headers["WWW-Authenticate"] = 'Bearer realm="laidtrue"'
    return response

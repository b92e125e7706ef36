"""Photographs for programs: a whole one in one request; larger ones come in pieces (tus)."""

from __future__ import annotations

import hashlib
import io

from flask import Response, jsonify, make_response, request
from flask.typing import ResponseReturnValue

from qa.services.originals import PHOTO_LIMIT_BYTES, hand_in
from qa.services.recording import photo_file_name
from qa.web import clock
from qa.web.api.asked import refused
from qa.web.api.routing import blueprint
from qa.web.frame import actor, house

_SHA256_DIGITS = 64


@blueprint.put("/photos/<digest>", endpoint="put_photo")
def put_photo(digest: str) -> ResponseReturnValue:
    """Takes an original in under the digest that it has; twice is once."""
    request.max_content_length = PHOTO_LIMIT_BYTES
    content = request.get_data(cache=False)
    found = hashlib.sha256(content).hexdigest()
    if found != digest:
        raise refused(
            "digest", f"What was sent has the SHA-256 {found}; the address says another one."
        )
    photo = hand_in(house(), actor(), io.BytesIO(content), name="The photo", now=clock.now())
    answer = jsonify(
        sha256=photo.sha256,
        bytes=photo.bytes,
        media_type=photo.media_type,
        file=photo_file_name(photo),
    )
    return _made(answer)


def _made(answer: Response) -> Response:
    return make_response(answer, 201)

"""Resumable uploads as the open protocol tus 1.0.0 has them: its core, and creation.

What the protocol leaves open: the metadata carries `sha256`, the digest that the photo will have,
and `filename`; and each answer with a body says in JSON how far the upload is, so that whoever
knows the site only needs no second request.
"""

from __future__ import annotations

import base64
import binascii

from flask import Blueprint, Response, abort, jsonify, make_response, request, url_for

from qa.errors import PhotoError
from qa.services.originals import PHOTO_LIMIT_BYTES
from qa.services.uploading import (
    LARGEST_PIECE_BYTES,
    UploadState,
    begin_upload,
    take_piece,
    upload_state,
)
from qa.web import clock
from qa.web.frame import actor, house

VERSION = "1.0.0"
PIECE_TYPE = "application/offset+octet-stream"
_LONGEST_NAME = 200

blueprint = Blueprint("uploads", __name__, url_prefix="/uploads")


@blueprint.before_request
def check_version() -> None:
    """Refuses another version of the protocol (tus 1.0.0, Tus-Resumable)."""
    if request.method in ("POST", "PATCH", "HEAD") and _version() != VERSION:
        refused = make_response("This site speaks version 1.0.0 of tus.", 412)
        refused.headers["Tus-Version"] = VERSION
        abort(refused)


@blueprint.after_request
def put_protocol_headers(response: Response) -> Response:
    """Puts the protocol's headers on every answer."""
    response.headers["Tus-Resumable"] = VERSION
    response.headers["Cache-Control"] = "no-store"
    if request.method == "OPTIONS":
        response.headers["Tus-Version"] = VERSION
        response.headers["Tus-Extension"] = "creation"
        response.headers["Tus-Max-Size"] = str(PHOTO_LIMIT_BYTES)
    return response


@blueprint.post("")
def create() -> Response:
    """Begins an upload, or answers the one that the same person has begun of the same photo."""
    metadata = _metadata(request.headers.get("Upload-Metadata", ""))
    state = begin_upload(
        house(),
        actor(),
        sha256=metadata.get("sha256", ""),
        length=_whole("Upload-Length"),
        name=metadata.get("filename", "")[:_LONGEST_NAME] or "The photo",
        now=clock.now(),
    )
    response = _answer(state, 201)
    response.headers["Location"] = url_for(".piece", upload=state.id)
    return response


@blueprint.route("/<upload>", methods=["HEAD", "GET", "PATCH"])
def piece(upload: str) -> Response:
    """Answers how far an upload is, or takes its next piece."""
    if request.method != "PATCH":
        return _answer(upload_state(house(), actor(), upload), 200)
    if request.mimetype != PIECE_TYPE:
        abort(415)
    request.max_content_length = LARGEST_PIECE_BYTES
    offset = _whole("Upload-Offset")
    content = request.get_data(cache=False)
    state = take_piece(house(), actor(), upload, content, offset=offset, now=clock.now())
    return _answer(state, 200 if "application/json" in request.accept_mimetypes.values() else 204)


def _answer(state: UploadState, status: int) -> Response:
    body = {
        "upload": state.id,
        "sha256": state.sha256,
        "offset": state.arrived_bytes,
        "length": state.bytes,
        "finished": state.is_finished,
    }
    response = make_response("" if status == 204 else jsonify(body), status)
    response.headers["Upload-Offset"] = str(state.arrived_bytes)
    response.headers["Upload-Length"] = str(state.bytes)
    return response


def _version() -> str:
    return request.headers.get("Tus-Resumable", "")


def _whole(header: str) -> int:
    """A header that is a whole number of bytes, 0 or more."""
    written = request.headers.get(header, "")
    if not (written.isascii() and written.isdigit() and len(written) < 16):
        raise PhotoError(
            "The upload",
            f"needs the header {header} with a whole number of bytes; got “{written}”.",
        )
    return int(written)


def _metadata(written: str) -> dict[str, str]:
    """Upload-Metadata: pairs of a key and Base64, by commas (tus 1.0.0, creation)."""
    pairs = [pair.strip().partition(" ") for pair in written.split(",") if pair.strip()]
    try:
        return {
            key: base64.b64decode(value, validate=True).decode("utf-8") for key, _, value in pairs
        }
    except (binascii.Error, UnicodeDecodeError) as error:
        raise PhotoError(
            "The upload", "has an Upload-Metadata header that is not Base64 of UTF-8."
        ) from error

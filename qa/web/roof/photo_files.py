"""The photographs of a job as files: small, for the screen, and as they came from the camera."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from flask import Response, request, send_file

from qa.errors import NotFoundError
from qa.photos.renditions import Size
from qa.record.marked import MARKS
from qa.services.marked_copies import marked_copy_path
from qa.services.originals import original_path, rendition_path
from qa.services.reading import read_job
from qa.texts.saying import say
from qa.web.frame import actor, house
from qa.web.roof.routing import blueprint

ORIGINAL = "original"
KEPT_S = 3600
"""How long a browser shows a photograph without asking; an erased one is gone after that."""


@blueprint.get("/jobs/<job>/photos/<sha256>/<size>", endpoint="photo")
def send_photo(job: str, sha256: str, size: str) -> Response:
    """A photograph that the job shows; the original comes to be saved, never to be opened here."""
    if size == ORIGINAL:
        path = original_path(house(), actor(), job, sha256)
        return _sent(path, f"{sha256}-{size}", download_name=_name(job, sha256))
    if size not in {one.value for one in Size}:
        raise NotFoundError(say("A photograph has no such size."))
    copy = marked_copy_path if MARKS in request.args else rendition_path
    path = copy(house(), actor(), job, sha256, Size(size))
    return _sent(path, path.stem)


def _sent(path: Path, etag: str, *, download_name: str | None = None) -> Response:
    is_original = download_name is not None
    response = send_file(
        path,
        mimetype="application/octet-stream" if is_original else "image/jpeg",
        as_attachment=is_original,
        download_name=download_name,
        conditional=True,
        etag=etag,
        last_modified=None,
    )
    response.headers["Cache-Control"] = f"private, max-age={KEPT_S}"
    response.headers["X-Content-Type-Options"] = "nosniff"
    return response


def _name(job: str, sha256: str) -> str:
    """The name under which the record calls an original."""
    for photo in read_job(house(), actor(), job).job.photos:
        if photo.body.sha256 == sha256:
            return PurePosixPath(photo.body.file).name
    return sha256

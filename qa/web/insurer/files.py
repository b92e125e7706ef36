"""Files for an insurer: originals byte for byte, copies to look at, the job's folder."""

from __future__ import annotations

import tempfile
from pathlib import PurePosixPath

from flask import Response, request, send_file

from qa.errors import NotFoundError
from qa.photos.renditions import Size
from qa.record.marked import MARKS
from qa.services.folder_zip import folder_name
from qa.services.linking import Face, OpenLink
from qa.services.shared_reading import (
    read_shared_job,
    shared_copy,
    shared_marked_copy,
    shared_original,
    write_shared_folder,
)
from qa.texts.saying import say
from qa.web.frame import house
from qa.web.insurer.routing import blueprint
from qa.web.shared_links import PRIVATE, opened, sent_file

_ORIGINAL = "original"


@blueprint.get("/e/<reader_token>/photos/<sha256>/<size>", endpoint="photo")
def send_photo(reader_token: str, sha256: str, size: str) -> Response:
    """A photograph: the original to be saved, or a copy to be looked at."""
    link = opened(Face.INSURER, reader_token)
    if size == _ORIGINAL:
        path, name = shared_original(house(), link, sha256), _name(link, sha256)
        kind = "application/octet-stream"
        return sent_file(path, media_type=kind, etag=f"{sha256}-{size}", name=name)
    if size not in {one.value for one in Size}:
        raise NotFoundError(say("A photograph has no such size."))
    copy = shared_marked_copy if MARKS in request.args else shared_copy
    path = copy(house(), link, sha256, Size(size))
    return sent_file(path, media_type="image/jpeg", etag=path.stem)


@blueprint.get("/e/<reader_token>/folder.zip", endpoint="folder")
def send_folder(reader_token: str) -> Response:
    """The job's folder without personal values: the digests of them stay."""
    return _folder(opened(Face.INSURER, reader_token), with_personal=False)


@blueprint.get("/e/<reader_token>/folder-with-names.zip", endpoint="folder_with_names")
def send_folder_with_names(reader_token: str) -> Response:
    """The job's folder with the personal values that are left, where the link shows them."""
    return _folder(opened(Face.INSURER, reader_token), with_personal=True)


def _folder(link: OpenLink, *, with_personal: bool) -> Response:
    # On the instance's disk, which has room for the originals; it is gone when it was sent.
    made = tempfile.TemporaryFile(dir=house().settings.instance)  # noqa: SIM115
    try:
        folder = write_shared_folder(house(), link, made, with_personal=with_personal)
    except BaseException:
        made.close()
        raise
    made.seek(0)
    response = send_file(
        made,
        mimetype="application/zip",
        as_attachment=True,
        download_name=f"{folder_name(folder)}.zip",
        max_age=0,
    )
    response.call_on_close(made.close)
    response.headers["Cache-Control"] = PRIVATE
    return response


def _name(link: OpenLink, sha256: str) -> str:
    """The name under which the record calls an original."""
    for photo in read_shared_job(house(), link).job.photos:
        if photo.body.sha256 == sha256:
            return PurePosixPath(photo.body.file).name
    return sha256

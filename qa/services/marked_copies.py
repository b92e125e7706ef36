"""Copies of photographs with the marks upon them that a job has in force."""

from __future__ import annotations

from pathlib import Path

from qa.photos.marked_copies import marked_rendition
from qa.photos.renditions import Original, RenditionCache, Size
from qa.record.job import Job
from qa.record.marked import drawn_upon
from qa.services.access import Actor
from qa.services.installation import Installation
from qa.services.originals import original_path
from qa.services.reading import read_job


def marked_copy(installation: Installation, job: Job, photo: Original, size: Size) -> Path:
    """The copy of an original with the job's marks upon it, made now if it is not there yet.

    A photograph without marks is answered by its clean copy.

    Raises:
        PhotoError: the copy cannot be made.
    """
    folder = installation.settings.renditions
    (clean,) = RenditionCache(folder).ensure([photo], sizes=(size,))
    return marked_rendition(folder, clean, drawn_upon(job).get(photo.sha256, ())).path


def marked_copy_path(
    installation: Installation, actor: Actor, job_id: str, sha256: str, size: Size
) -> Path:
    """As `marked_copy`, for a photograph that a job of the actor's firm shows.

    Raises:
        NotFoundError: the job shows none of that digest, or it was erased.
        StoreError: the file is missing though the record names it.
        PhotoError: the copy cannot be made.
    """
    path = original_path(installation, actor, job_id, sha256)
    job = read_job(installation, actor, job_id).job
    return marked_copy(installation, job, Original(name=sha256, path=path, sha256=sha256), size)

"""Making a pack of a job folder: read, judge, copy photos, render, write whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from functools import partial
from itertools import count
from pathlib import Path

from qa import __version__
from qa.assess.assessment import assess
from qa.errors import PhotoError, UsageError
from qa.packs.handover import handover_pack
from qa.packs.rendering import Document, render_pdf
from qa.packs.source import PackPhoto, PackSource
from qa.packs.warranty import warranty_file
from qa.photos.facts import PhotoFacts
from qa.photos.intake import read_facts, read_photo
from qa.photos.marked_copies import marked_rendition
from qa.photos.renditions import Original, RenditionCache, Size
from qa.record.kinds.marks import Annotation
from qa.record.marked import drawn_upon
from qa.services.carried import folder_specification
from qa.services.loading import Progress, load_job


class PackKind(StrEnum):
    """The packs that can be made of a job."""

    HANDOVER = "handover"
    WARRANTY = "warranty"


PROGRAM = f"Laidtrue {__version__}"
"""Name and version of the program, as packs state it."""

COPYING = "copying the photos"
"""What is being done before a pack is laid out."""

_RENDERING_STEPS = 3
"""Laying out, drawing, writing."""

_MAKERS: Mapping[PackKind, Callable[[PackSource], Document]] = {
    PackKind.HANDOVER: handover_pack,
    PackKind.WARRANTY: warranty_file,
}


def make_pack(
    kind: PackKind,
    path: Path,
    out: Path,
    *,
    renditions: Path,
    specification: Path | None = None,
    progress: Progress | None = None,
) -> None:
    """Makes one pack of a job folder and writes it to `out`.

    Args:
        kind: which pack.
        path: the job folder.
        out: the PDF to write; one that is there is replaced, in one step.
        renditions: folder in which print copies of the photos are kept.
        specification: file of the specification that the job pins; None for a built-in one or
            the one that the folder carries.
        progress: told what is being done and how far it is.

    Raises:
        LaidtrueError: the folder, its photos or the specification cannot be used, or `out` cannot
            be written; nothing half-written stays.
    """
    require_writable(out)
    source = pack_source(
        path, renditions=renditions, specification=specification, progress=progress
    )
    write_pack(kind, source, out, progress=progress)


def pack_source(
    path: Path,
    *,
    renditions: Path,
    specification: Path | None = None,
    progress: Progress | None = None,
) -> PackSource:
    """What all packs of a job folder are made from; as `make_pack`."""
    named = partial(folder_specification, given=specification)
    load = partial(load_job, path, named=named, progress=progress)
    loaded = load(look=read_facts)
    try:
        photos = pack_photos(
            [(path, loaded.photos[name], name) for name, path in loaded.folder.photos],
            renditions=renditions,
            drawn=drawn_upon(loaded.job),
            progress=progress,
        )
    except PhotoError:
        load(look=read_photo)  # names every damaged photo, with its line
        raise
    return PackSource(
        record=loaded.folder.record,
        job=loaded.job,
        specification=loaded.specification,
        specification_bytes=loaded.specification_bytes,
        assessment=assess(loaded.job, loaded.specification),
        photos=photos,
        program=PROGRAM,
    )


def write_pack(
    kind: PackKind, source: PackSource, out: Path, *, progress: Progress | None = None
) -> None:
    """Renders one pack and writes it; as `make_pack`."""
    write_whole(out, render_pack(kind, source, progress=progress))


def render_pack(kind: PackKind, source: PackSource, *, progress: Progress | None = None) -> bytes:
    """One pack as a PDF; the same source gives the same bytes."""
    steps = count(1)

    def told(step: str) -> None:
        if progress is not None:
            progress(f"{kind} pack, {step}", next(steps), _RENDERING_STEPS)

    return render_pdf(_MAKERS[kind](source), progress=told)


def pack_photos(
    photos: Iterable[tuple[Path, PhotoFacts, str]],
    *,
    renditions: Path,
    drawn: Mapping[str, tuple[Annotation, ...]],
    progress: Progress | None = None,
) -> dict[str, PackPhoto]:
    """Every photo of a job with its print copy, by its name in the record.

    Args:
        photos: file, facts and name of each original that is there.
        renditions: folder in which print copies are kept.
        drawn: the marks that are drawn upon print copies, by `qa.record.marked.photo_key`.
        progress: told how many have been copied.

    Raises:
        PhotoError: one of them cannot be copied.
    """
    photos = tuple(photos)
    cache = RenditionCache(renditions)
    originals = [
        Original(name=name, path=path, sha256=facts.sha256) for path, facts, name in photos
    ]
    told = None if progress is None else partial(progress, COPYING)
    copies = cache.ensure(originals, sizes=(Size.PRINT,), progress=told)
    by_digest = {copy.sha256: copy for copy in copies}
    print_copies = {
        name: marked_rendition(
            renditions, by_digest[facts.sha256], drawn.get(facts.sha256) or drawn.get(name, ())
        )
        for _, facts, name in photos
    }
    return {name: _pack_photo(name, facts, print_copies[name].path) for _, facts, name in photos}


def _pack_photo(name: str, facts: PhotoFacts, print_copy: Path) -> PackPhoto:
    camera = " ".join(part for part in (facts.camera_make, facts.camera_model) if part)
    return PackPhoto(
        file=name,
        sha256=facts.sha256,
        print_copy=print_copy,
        taken_at=facts.taken_at,
        camera=camera or None,
        width_px=facts.width_px,
        height_px=facts.height_px,
        clock=None if facts.taken_at else facts.taken_at_naive,
    )


def require_writable(out: Path) -> None:
    """Refuses before the work begins what could not be written after it.

    Raises:
        UsageError: `out` is a folder, or lies in none that can be written to.
    """
    folder = out.absolute().parent
    if out.is_dir():
        raise UsageError(f"{out} is a folder; name the PDF to write in it.")
    if out.exists() and not out.is_file():
        raise UsageError(f"{out} is no file that can be replaced; name a PDF in a folder.")
    if not folder.is_dir():
        raise UsageError(f"{folder} does not exist; make the folder first, or name another.")
    if not os.access(folder, os.W_OK):
        raise UsageError(f"{folder} cannot be written to; name a folder of your own.")


def write_whole(out: Path, content: bytes) -> None:
    """Writes a file under another name and moves it into place.

    Raises:
        UsageError: it cannot be written; nothing half-written stays.
    """
    require_writable(out)
    making: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(
            dir=out.absolute().parent, prefix=f".{out.name}-", delete=False
        ) as file:
            making = Path(file.name)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        making.chmod(0o644)
        making.replace(out)
        making = None
    except OSError as error:
        sentence = f"{out} cannot be written: {error.strerror}; make room or name another place."
        raise UsageError(sentence) from error
    finally:
        if making is not None:
            making.unlink(missing_ok=True)

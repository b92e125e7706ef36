"""Keeps copies with marks upon them, beside the clean copies and as they are kept.

Such a copy is found by the original, the size, both recipes and the digest of all that is drawn, so
that other marks are another file. Who erases the original removes these with all other copies.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from qa.errors import PhotoError
from qa.photos.copy_files import find_copy, write_copy
from qa.photos.renditions import RECIPE, Rendition
from qa.record.kinds.marks import Annotation
from qa.record.marked import marks_digest

MARKS_RECIPE = 1
"""Raised whenever the way of drawing changes, so that older copies are not found."""


def marked_rendition(
    folder: Path, clean: Rendition, annotations: Sequence[Annotation]
) -> Rendition:
    """The copy of a photograph with marks upon it, drawn now if it is not there yet.

    Args:
        folder: the folder of all copies.
        clean: the clean copy of the size that is wanted.
        annotations: what is drawn; without any, the clean copy itself is the answer.

    Raises:
        PhotoError: the copy cannot be read, or the marked one cannot be written.
    """
    if not any(annotation.marks for annotation in annotations):
        return clean
    stem = f"marked-{clean.size}-{RECIPE}-{MARKS_RECIPE}-{marks_digest(annotations)}"
    path = find_copy(folder, clean.sha256, stem)
    if path is None:
        path = _drawn(folder, clean, annotations, stem)
    return Rendition(sha256=clean.sha256, size=clean.size, path=path)


def _drawn(folder: Path, clean: Rendition, annotations: Sequence[Annotation], stem: str) -> Path:
    # Imported here: a program that finds all copies in place needs no decoder.
    from qa.photos.marking import marked_copy  # noqa: PLC0415

    try:
        jpeg = marked_copy(clean.path.read_bytes(), annotations, name=clean.sha256)
        return write_copy(folder, clean.sha256, stem, jpeg)
    except OSError as error:
        sentence = f"its marked copy cannot be written to {folder} ({error.strerror}). "
        raise PhotoError(clean.sha256, sentence + "Make room there, or name another.") from error

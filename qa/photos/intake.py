"""Takes an original photograph in: what it is, or why it cannot be one.

Two depths. `read_facts` reads the file once, for its digest and its header: cheap enough for every
photograph of a record that is only assessed. `read_photo` also decodes the picture to its last row,
which finds half a JPEG: use it when photographs are taken in. Before a pack is made the renditions
decode each original anyway, under the same rules.

The decoder is imported when the first photograph is met, never before: assessing a record without
photographs must not wait for it.
"""

from __future__ import annotations

import hashlib
import stat
from dataclasses import asdict
from pathlib import Path

from qa.errors import PhotoError
from qa.photos.facts import PhotoFacts

__all__ = [
    "FILE_LIMIT_BYTES",
    "PhotoFacts",
    "facts_of",
    "read_facts",
    "read_original",
    "read_photo",
]

FILE_LIMIT_BYTES = 128 * 1024 * 1024
"""Longest file read: a phone's 200-megapixel JPEG at its best quality stays below 100 MB."""

_CHECK_EDGE_PX = 1
"""Long edge asked of a decoder that only has to prove that the picture is whole."""


def read_facts(path: Path, *, name: str) -> PhotoFacts:
    """Read a photograph's digest, size and camera's facts without decoding the picture.

    Args:
        path: the file.
        name: the file's name as the record gives it, for the error's sentence.

    Returns:
        The facts. A broken Exif block costs its own facts, never the photograph.

    Raises:
        PhotoError: there is no such file, or it is none of the formats taken.
    """
    return facts_of(read_original(path, name=name), name=name)


def read_photo(path: Path, *, name: str) -> PhotoFacts:
    """Read a photograph's facts and make sure that the whole picture can be decoded.

    Args:
        path: the file.
        name: the file's name as the record gives it, for the error's sentence.

    Returns:
        The facts, as `read_facts`.

    Raises:
        PhotoError: as `read_facts`, and where the picture is damaged or incomplete.
    """
    from qa.photos import decoding  # noqa: PLC0415  # see the module's docstring

    data = read_original(path, name=name)
    facts = facts_of(data, name=name)
    decoding.decode(data, name=name, long_edge_px=_CHECK_EDGE_PX)
    return facts


def facts_of(data: bytes, *, name: str) -> PhotoFacts:
    """Return the facts of a photograph whose bytes are at hand; as `read_facts`.

    Args:
        data: the whole file.
        name: the file's name as the record gives it, for the error's sentence.

    Raises:
        PhotoError: the bytes are none of the formats taken, or the picture is too large.
    """
    from qa.photos import decoding  # noqa: PLC0415  # see the module's docstring

    header = decoding.read_header(data, name=name)
    stored_px = (header.width_px, header.height_px)
    width_px, height_px = decoding.upright_size(stored_px, header.camera.orientation)
    return PhotoFacts(
        sha256=hashlib.sha256(data).hexdigest(),
        bytes=len(data),
        media_type=header.kind.media_type,
        width_px=width_px,
        height_px=height_px,
        **asdict(header.camera),
    )


def read_original(path: Path, *, name: str) -> bytes:
    """Read an original's bytes.

    Args:
        path: the file.
        name: the file's name as the record gives it, for the error's sentence.

    Raises:
        PhotoError: missing, a folder or another thing than a file, too long, or not readable.
    """
    try:
        _check_is_file(path, name)
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise PhotoError(
            name, "there is no such file. Put the photograph there, or mend its name in the record."
        ) from error
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL in it
        reason = getattr(error, "strerror", None) or error
        raise PhotoError(
            name, f"cannot be read ({reason}). Allow this program to read it, or copy it again."
        ) from error
    return data


def _check_is_file(path: Path, name: str) -> None:
    """Refuse before opening: opening a pipe would wait for ever."""
    found = path.stat()
    if stat.S_ISDIR(found.st_mode):
        raise PhotoError(name, "is a folder, not a photograph. Name the file inside it.")
    if not stat.S_ISREG(found.st_mode):
        raise PhotoError(
            name, "is not an ordinary file. Put a copy of the photograph in its place."
        )
    if found.st_size > FILE_LIMIT_BYTES:
        raise PhotoError(
            name,
            f"is {found.st_size / 2**20:,.0f} MiB long; at most {FILE_LIMIT_BYTES // 2**20} MiB "
            "are read. Export the photograph as JPEG.",
        )

"""Finds and writes the files of copies: whole or not there, and named by their own digest.

`<folder>/<first two digits>/<original's SHA-256>/<stem>-<copy's SHA-256>.jpg`
"""

from __future__ import annotations

import os
import re
import shutil
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile

_SHA256 = re.compile(r"[0-9a-f]{64}")


def find_copy(folder: Path, original_sha256: str, stem: str) -> Path | None:
    """Return the file of a copy whose bytes still are what its name says; None if there is none.

    Args:
        folder: the folder of all copies.
        original_sha256: digest of the original.
        stem: size and recipe.
    """
    for path in sorted(_place(folder, original_sha256).glob(f"{stem}-*.jpg")):
        with suppress(OSError):  # a file that cannot be read is a copy to be made again
            if path.stem == f"{stem}-{sha256(path.read_bytes()).hexdigest()}":
                return path
    return None


def write_copy(folder: Path, original_sha256: str, stem: str, jpeg: bytes) -> Path:
    """Write a copy so that it is found whole or not at all, whatever stops the machine.

    Args:
        folder: the folder of all copies; made where it is missing.
        original_sha256: digest of the original.
        stem: size and recipe.
        jpeg: the copy.

    Raises:
        OSError: the folder is full or cannot be written.
    """
    place = _place(folder, original_sha256)
    place.mkdir(parents=True, exist_ok=True)
    path = place / f"{stem}-{sha256(jpeg).hexdigest()}.jpg"
    with NamedTemporaryFile(dir=place, suffix=".part", delete=False) as file:
        try:
            file.write(jpeg)
            file.flush()
            os.fsync(file.fileno())
            Path(file.name).replace(path)
        except BaseException:
            Path(file.name).unlink(missing_ok=True)
            raise
    return path


def remove_copies(folder: Path, original_sha256: str) -> None:
    """Remove every file made from an original.

    Args:
        folder: the folder of all copies.
        original_sha256: digest of the original.

    Raises:
        OSError: they cannot be removed.
    """
    with suppress(FileNotFoundError):
        shutil.rmtree(_place(folder, original_sha256))


def _place(folder: Path, original_sha256: str) -> Path:
    if not _SHA256.fullmatch(original_sha256):  # it becomes a path
        raise ValueError(f"{original_sha256!r} is not a SHA-256 of 64 hexadecimal digits.")
    return folder / original_sha256[:2] / original_sha256

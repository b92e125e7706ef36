"""Loggers' files that wait to be looked at: in a folder for each firm, for a day at most."""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from datetime import datetime, timedelta
from pathlib import Path
from typing import BinaryIO

from qa.errors import StoreError
from qa.store.durably import make_folder

WAITS = timedelta(days=1)
_DIGEST = re.compile(r"[0-9a-f]{64}")
_CHUNK_BYTES = 1024 * 1024


def put_logger_file(folder: Path, stream: BinaryIO, *, firm_id: str, now: datetime) -> str:
    """Puts a file there for its firm, and drops those that have waited too long.

    Returns:
        SHA-256 of the file, by which it is found again.

    Raises:
        StoreError: the disk is full or at fault.
    """
    place = folder / firm_id
    try:
        make_folder(place)
        _drop_old(folder, now)
        return _write(place, stream, now)
    except OSError as error:
        raise StoreError(f"{place} cannot be written: {error.strerror}.") from error


def _write(place: Path, stream: BinaryIO, now: datetime) -> str:
    """Writes a file under its digest; where that fails, nothing of it stays."""
    written = hashlib.sha256()
    descriptor, name = tempfile.mkstemp(dir=place)
    try:
        with os.fdopen(descriptor, "wb") as made:
            while chunk := stream.read(_CHUNK_BYTES):
                written.update(chunk)
                made.write(chunk)
        os.utime(name, (now.timestamp(), now.timestamp()))
        Path(name).replace(place / written.hexdigest())
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return written.hexdigest()


def logger_file(folder: Path, digest: str, *, firm_id: str) -> Path | None:
    """The file of that digest that the firm has put there, or None."""
    path = folder / firm_id / digest
    return path if _DIGEST.fullmatch(digest) and path.is_file() else None


def _drop_old(folder: Path, now: datetime) -> None:
    oldest = (now - WAITS).timestamp()
    for path in folder.glob("*/*"):
        if path.stat().st_mtime < oldest:
            path.unlink(missing_ok=True)

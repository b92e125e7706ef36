"""Photos that arrive in pieces: one file each, which only grows, until the last piece is there.

The length of the file is how much has arrived; each piece is on the disk before it is counted, so
that a phone never has to send again what was once acknowledged.
"""

from __future__ import annotations

import fcntl
import os
import re
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from qa.errors import ConflictError, StoreError
from qa.store.durably import make_folder, sync

_ID = re.compile(r"[0-9a-f-]{36}")


class Pieces:
    """The folder of what is still arriving. Threads and processes may share it."""

    def __init__(self, folder: Path) -> None:
        """Opens the folder and makes it where it is missing.

        Raises:
            StoreError: it cannot be made.
        """
        self._folder = folder.absolute()
        with self._said():
            make_folder(self._folder)

    def begin(self, upload: str) -> None:
        """Makes the file of an upload, empty; one that is there stays.

        Raises:
            StoreError: the disk is full or at fault.
        """
        with self._said():
            self.path(upload).touch()
            sync(self._folder)

    def arrived_bytes(self, upload: str) -> int:
        """How much of an upload has arrived; 0 where its file was lost."""
        try:
            return self.path(upload).stat().st_size
        except FileNotFoundError:
            return 0

    def append(self, upload: str, piece: bytes, *, offset: int) -> int:
        """Adds a piece at the end.

        Args:
            upload: its id.
            piece: the bytes.
            offset: where the sender believes the end to be.

        Returns:
            How much has arrived now; the disk keeps it.

        Raises:
            ConflictError: the end is elsewhere; nothing was added.
            StoreError: the disk is full or at fault; nothing was added.
        """
        with self._said(), self.path(upload).open("ab") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            end = file.seek(0, os.SEEK_END)
            if end != offset:
                raise ConflictError(
                    f"{end} bytes of this photo have arrived, the piece begins at {offset}. Ask "
                    "how much has arrived and go on from there."
                )
            try:
                file.write(piece)
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                os.truncate(file.fileno(), end)
                raise
            return end + len(piece)

    @contextmanager
    def held(self, upload: str) -> Iterator[Path]:
        """The file of an upload, to which nobody else adds and which nobody else takes in."""
        with self.path(upload).open("ab") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            yield self.path(upload)

    @contextmanager
    def copied(self, chunks: Iterable[bytes]) -> Iterator[Path]:
        """What comes in one go, as a file for as long as it is needed.

        Raises:
            StoreError: the disk is full or at fault.
        """
        path = self.path(str(uuid.uuid4()))
        try:
            with self._said(), path.open("xb") as file:
                for chunk in chunks:
                    file.write(chunk)
            yield path
        finally:
            path.unlink(missing_ok=True)

    def path(self, upload: str) -> Path:
        """The file of an upload."""
        if not _ID.fullmatch(upload):  # it becomes a path
            raise ValueError(f"{upload!r} is no id of an upload.")
        return self._folder / upload

    def drop(self, upload: str) -> None:
        """Removes the file of an upload; one that is not there is no fault."""
        with self._said():
            self.path(upload).unlink(missing_ok=True)

    def ids(self, *, before: datetime) -> Iterator[str]:
        """Every upload that has a file here to which nothing was added since that time."""
        for path in sorted(self._folder.iterdir()):
            if _ID.fullmatch(path.name) and path.stat().st_mtime < before.timestamp():
                yield path.name

    @contextmanager
    def _said(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise StoreError(
                f"{self._folder} cannot take photos: {error.strerror}. Make room there or mend "
                "the disk; what had arrived before is kept, and the phone sends the rest again."
            ) from error

"""Files by their own SHA-256: original photographs, and the packs that were made.

What `put` answered is on the disk: the bytes are written under another name in the same tree and
synced, renamed, and every folder that changed is synced before it answers; the object store that
lies beneath syncs nothing of its own. A file is there whole or not at all.

Callers know digests and this class only. An object store on other machines can take the folder's
place in here: it needs no syncing, and `path` then answers a copy that it fetched.
"""

from __future__ import annotations

import hashlib
import re
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from obstore.exceptions import BaseError as ObjectStoreError
from obstore.store import LocalStore

from qa.errors import StoreError
from qa.store.durably import make_folder, sync

_SHA256 = re.compile(r"[0-9a-f]{64}")
_CHUNK_BYTES = 1024 * 1024
_STAGING = "arriving"


@dataclass(frozen=True, slots=True, kw_only=True)
class Blob:
    """What a file is known by.

    Attributes:
        sha256: digest of its bytes.
        bytes: how many they are.
    """

    sha256: str
    bytes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DamagedBlob:
    """A file in the folder that is not what its name says."""

    path: Path
    sentence: str


class BlobStore:
    """A folder of files by digest: `aa/bb/<sha256>`. Threads and processes may share it."""

    def __init__(self, folder: Path) -> None:
        """Opens the folder and makes it where it is missing.

        Raises:
            StoreError: it cannot be made.
        """
        self._folder = folder.absolute()
        with _said(self._folder):
            make_folder(self._folder / _STAGING)
            self._objects = LocalStore(self._folder)
        # Folders whose own name is known to be on the disk.
        self._kept = {self._folder}

    def put(self, source: bytes | Path, *, sha256: str | None = None) -> Blob:
        """Keeps a file; one that is there already is kept once.

        Args:
            source: its bytes, or a file to copy.
            sha256: the digest that it must have; None where the caller knows none.

        Raises:
            StoreError: the disk is full or at fault, or the digest is another. Nothing stays.
        """
        staged = f"{_STAGING}/{uuid.uuid4().hex}"
        with _said(self._folder):
            try:
                blob = self._stage(source, staged)
                if sha256 is not None and blob.sha256 != sha256:
                    raise StoreError(
                        f"What was to be kept as {sha256} has the SHA-256 {blob.sha256}; it "
                        "changed on its way. Send it again; nothing was kept."
                    )
                self._settle(staged, blob)
            finally:
                # The object store may leave a file of its own, under a longer name.
                for left in (self._folder / _STAGING).glob(f"{Path(staged).name}*"):
                    left.unlink(missing_ok=True)
        return blob

    def path(self, sha256: str) -> Path:
        """A file on this machine with these bytes; for reading only.

        Raises:
            StoreError: there is none.
        """
        path = self._place(sha256)
        if not path.is_file():
            raise StoreError(
                f"{path} is missing from {self._folder}; restore it from the last backup."
            )
        return path

    def open(self, sha256: str) -> BinaryIO:
        """The file, open for reading; as `path`."""
        return self.path(sha256).open("rb")

    def size(self, sha256: str) -> int:
        """Its length in bytes; as `path`."""
        return self.path(sha256).stat().st_size

    def exists(self, sha256: str) -> bool:
        """Whether there is a file of this digest."""
        return self._place(sha256).is_file()

    def delete(self, sha256: str) -> None:
        """Removes a file for good, for an erasure only; one that is not there is no fault.

        Raises:
            StoreError: the disk did not let go of it.
        """
        path = self._place(sha256)
        with _said(self._folder):
            if path.is_file():
                self._objects.delete(_name(sha256))
                sync(path.parent)

    def digests(self) -> Iterator[str]:
        """The digest of every file, in order."""
        for path in sorted(self._folder.glob("??/??/*")):
            if _SHA256.fullmatch(path.name) and path == self._place(path.name):
                yield path.name

    def damaged(self) -> Iterator[DamagedBlob]:
        """Reads every file whole and answers those that are not what their names say."""
        for digest in self.digests():
            path = self._place(digest)
            try:
                found = _digest(path)
            except OSError as error:
                sentence = f"{path} cannot be read: {error.strerror}. Restore it from a backup."
                yield DamagedBlob(path=path, sentence=sentence)
                continue
            if found != digest:
                sentence = f"{path} has the SHA-256 {found}. Restore it from a backup."
                yield DamagedBlob(path=path, sentence=sentence)

    def sweep(self, *, before: datetime) -> int:
        """Removes what a power cut left half-copied before that time; answers how many files."""
        stale = [
            path
            for path in (self._folder / _STAGING).iterdir()
            if path.stat().st_mtime < before.timestamp()
        ]
        for path in stale:
            path.unlink(missing_ok=True)
        return len(stale)

    def _stage(self, source: bytes | Path, staged: str) -> Blob:
        digest = hashlib.sha256()
        length = 0

        def watched() -> Iterator[bytes]:
            nonlocal length
            for chunk in _chunks(source):
                digest.update(chunk)
                length += len(chunk)
                yield chunk

        self._objects.put(staged, watched())
        sync(self._folder / staged)
        return Blob(sha256=digest.hexdigest(), bytes=length)

    def _settle(self, staged: str, blob: Blob) -> None:
        path = self._place(blob.sha256)
        # One that is there may have been damaged since, and is mended by the one that came.
        if not (path.is_file() and _digest(path) == blob.sha256):
            self._objects.rename(staged, _name(blob.sha256))
        sync(path.parent)
        for folder in (path.parent, path.parent.parent):
            if folder not in self._kept:
                sync(folder.parent)
                self._kept.add(folder)

    def _place(self, sha256: str) -> Path:
        return self._folder / _name(sha256)


def _name(sha256: str) -> str:
    if not _SHA256.fullmatch(sha256):  # it becomes a path
        raise ValueError(f"{sha256!r} is not a SHA-256 of 64 hexadecimal digits.")
    return f"{sha256[:2]}/{sha256[2:4]}/{sha256}"


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _chunks(source: bytes | Path) -> Iterator[bytes]:
    if isinstance(source, bytes):
        yield source
        return
    with source.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            yield chunk


@contextmanager
def _said(folder: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, ObjectStoreError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error).splitlines()[0]
        raise StoreError(
            f"{folder} cannot keep files: {reason}. Make room there or mend the disk, then send "
            "it again; nothing was kept."
        ) from error

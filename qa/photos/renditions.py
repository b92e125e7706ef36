"""Keeps the clean copies of photographs, and makes those that are missing on two cores.

A copy is found by the original's SHA-256, its size and the recipe it was made by, and its file's
name also holds its own SHA-256: a file that was cut short or altered is not a copy, and is made
again. Every copy can be made again from its original, so the folder may be deleted at any time.

The work is shared by threads, not by processes: decoding, scaling and encoding run outside the
interpreter's lock, so two threads keep two cores as busy as two processes do, without half a second
to start them and without running the caller's main module a second time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from hashlib import sha256
from pathlib import Path

from qa.errors import PhotoError
from qa.photos.copy_files import find_copy, remove_copies, write_copy
from qa.photos.intake import read_original

RECIPE = 1
"""Raised whenever the way of making copies changes, so that older copies are not found."""


class Size(StrEnum):
    """A size of copy, by where it is shown."""

    SCREEN = "screen"
    PRINT = "print"
    LIST = "list"

    @property
    def long_edge_px(self) -> int:
        """The copy's longer edge; 1000 px are 300 dpi at 85 mm, a photograph's width in a pack."""
        return {Size.SCREEN: 1600, Size.PRINT: 1000, Size.LIST: 320}[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Original:
    """An original photograph to be copied.

    Attributes:
        name: the file's name as the record gives it.
        path: the file.
        sha256: the digest that the record holds; another file under the name is refused.
    """

    name: str
    path: Path
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rendition:
    """A clean copy that has been made: upright, sRGB, nothing in it but the picture."""

    sha256: str
    size: Size
    path: Path


Progress = Callable[[int, int], None]
"""Told how many originals are done, and of how many, after each one."""


class RenditionCache:
    """A folder of copies; several threads and processes may use it at once."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def ensure(
        self,
        photos: Sequence[Original],
        *,
        sizes: Sequence[Size] = tuple(Size),
        workers: int = 2,
        progress: Progress | None = None,
    ) -> tuple[Rendition, ...]:
        """Make the copies that are missing and return all.

        Args:
            photos: the originals; one that is named twice is copied once.
            sizes: the sizes wanted.
            workers: threads that share the work beside the caller's, 1 or more.
            progress: called in the caller's thread.

        Returns:
            One rendition for each photo and size, in the order of both.

        Raises:
            PhotoError: an original is missing, is not the one of its digest, cannot be decoded, or
                its copies cannot be written. The first in order is named; copies made stay.
        """
        missing = self._missing(photos, sizes)
        largest_first = sorted(sizes, key=lambda size: -size.long_edge_px)
        with ThreadPoolExecutor(workers) as pool:
            made = pool.map(partial(_clean_copies, largest_first), missing)
            # Written here: the threads need not wait for the disk.
            for done, (photo, copies) in enumerate(zip(missing, made, strict=True), start=1):
                self._write(photo, zip(largest_first, copies, strict=True))
                if progress is not None:
                    progress(done, len(missing))
        return tuple(
            Rendition(sha256=photo.sha256, size=size, path=self.copy(photo.sha256, size))
            for photo in photos
            for size in sizes
        )

    def copy(self, original_sha256: str, size: Size) -> Path:
        """Return the file of a copy that has been made.

        Raises:
            PhotoError: it has not been made, or its file no longer holds what was written.
        """
        found = find_copy(self._folder, original_sha256, _stem(size))
        if found is None:
            sentence = f"has no {size} copy. Make the copies of the photographs first."
            raise PhotoError(original_sha256, sentence)
        return found

    def print_copy(self, original_sha256: str) -> Path:
        """Return the file of a copy for print; as `copy`."""
        return self.copy(original_sha256, Size.PRINT)

    def forget(self, original_sha256: str) -> None:
        """Remove every copy of an original that was erased.

        Raises:
            OSError: the disk did not let go of them.
        """
        remove_copies(self._folder, original_sha256)

    def _missing(self, photos: Sequence[Original], sizes: Sequence[Size]) -> tuple[Original, ...]:
        once = {photo.sha256: photo for photo in reversed(photos)}
        return tuple(
            photo
            for photo in reversed(once.values())
            if any(find_copy(self._folder, photo.sha256, _stem(size)) is None for size in sizes)
        )

    def _write(self, photo: Original, copies: Iterable[tuple[Size, bytes]]) -> None:
        try:
            for size, jpeg in copies:
                write_copy(self._folder, photo.sha256, _stem(size), jpeg)
        except OSError as error:
            sentence = f"its copy cannot be written to {self._folder} ({error.strerror}). "
            raise PhotoError(photo.name, sentence + "Make room there, or name another.") from error


def _clean_copies(largest_first: Sequence[Size], photo: Original) -> tuple[bytes, ...]:
    # Imported here: a program that finds all copies in place needs no decoder.
    from qa.photos.copying import clean_copies  # noqa: PLC0415

    edges_px = [size.long_edge_px for size in largest_first]
    return clean_copies(_read_unchanged(photo), name=photo.name, long_edges_px=edges_px)


def _read_unchanged(photo: Original) -> bytes:
    data = read_original(photo.path, name=photo.name)
    found = sha256(data).hexdigest()
    if found != photo.sha256:
        raise PhotoError(
            photo.name,
            f"is not the photograph of the record: its SHA-256 is {found}, the record holds "
            f"{photo.sha256}. Put the original back.",
        )
    return data


def _stem(size: Size) -> str:
    return f"{size}-{RECIPE}"

"""The only door through which a document reaches a file: three kinds of address, no others.

A page is made from words that people typed. Whatever they typed, rendering opens no file and no
connection beyond the photographs of the document and the faces and style sheets of the package.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from weasyprint.urls import URLFetcher, URLFetcherResponse

from qa.errors import PackError

STATIC = Path(__file__).resolve().parents[2] / "static"

FONTS: Mapping[str, Path] = {path.name: path for path in sorted(STATIC.glob("vendor/*/*.ttf"))}
"""The faces of the package by file name."""

STYLES: Mapping[str, Path] = {path.name: path for path in sorted(STATIC.glob("packs/*.*"))}
"""The style sheets of the package, and the marks that they draw, by file name."""

_ADDRESS = re.compile(r"pack:(photo|font|style)/([A-Za-z0-9.-]+)")
_MEDIA_TYPES = {
    ".ttf": "font/ttf",
    ".css": "text/css",
    ".svg": "image/svg+xml",
}
_START_OF_SCAN = 0xDA
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_METADATA = frozenset(range(0xE1, 0xF0)) | {0xFE}


class AddressError(PackError):
    """A page asks for something that is not part of its document.

    Attributes:
        address: what was asked for.
    """

    def __init__(self, address: str) -> None:
        self.address = address
        shown = address if len(address) <= 80 else f"{address[:79]}…"
        super().__init__(f"The page asks for “{shown}”, which is not part of its document.")


class PrintCopyError(PackError):
    """A photograph cannot be embedded byte for byte, or would carry metadata into the pack."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(f"{path.name}: {reason}; give a print copy, which is a plain JPEG.")


class _FileResponse(URLFetcherResponse):  # type: ignore[misc]  # WeasyPrint carries no types
    """A response that names its file, so that a photograph is read again when it is written.

    Without the name WeasyPrint keeps the bytes of every photograph until the document is done.
    """

    def __init__(self, url: str, path: Path, content: bytes, media_type: str) -> None:
        super().__init__(url, content, {"Content-Type": media_type})
        self._path = path

    @property
    def path(self) -> str:
        return str(self._path)


class PackFetcher(URLFetcher):  # type: ignore[misc]  # WeasyPrint carries no types
    """Answers `pack:photo/…`, `pack:font/…` and `pack:style/…`, and refuses all else.

    The parent's constructor, which registers handlers for files, networks and `data:`, is
    deliberately not called: there is nothing that a mistake could fall back on.

    Attributes:
        faults: what was refused so far; WeasyPrint would go on without it.
    """

    _fail_on_errors = False

    def __init__(self, photos: Mapping[str, Path]) -> None:
        self._shelves = {"photo": photos, "font": FONTS, "style": STYLES}
        self.faults: list[PackError] = []

    def __call__(self, url: str) -> URLFetcherResponse:
        """Return the response for an address of ours, or note the fault and raise it."""
        try:
            return self.fetch(url)
        except PackError as fault:
            self.faults.append(fault)
            raise

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:  # noqa: ARG002
        """Return the response for an address of ours.

        Raises:
            AddressError: the address is not one of ours.
            PrintCopyError: the photograph is not a plain JPEG.
        """
        match = _ADDRESS.fullmatch(url)
        path = self._shelves[match[1]].get(match[2]) if match else None
        if match is None or path is None:
            raise AddressError(url)
        content = path.read_bytes()
        if match[1] == "photo":
            _refuse_unclean(path, content)
            return _FileResponse(url, path, content, "image/jpeg")
        return _FileResponse(url, path, content, _MEDIA_TYPES[path.suffix])

    def open(self, url: object, data: object = None, timeout: object = None) -> None:  # noqa: ARG002
        """Refuse: only `fetch` answers."""
        raise AddressError(str(url))


def _refuse_unclean(path: Path, content: bytes) -> None:
    """Refuse a JPEG with metadata: WeasyPrint would decode it and save it again, at a loss.

    Source: segment structure of ITU-T T.81, annex B.
    """
    if content[:2] != b"\xff\xd8":
        raise PrintCopyError(path, "this is not a JPEG")
    at = 2
    while at + 10 <= len(content) and content[at] == 0xFF and content[at + 1] != _START_OF_SCAN:
        marker = content[at + 1]
        if marker in _METADATA:
            raise PrintCopyError(path, "it carries metadata")
        if marker in _FRAMES and content[at + 9] not in {1, 3}:
            raise PrintCopyError(path, "its colours are neither RGB nor grey")
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")

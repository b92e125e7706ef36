from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from qa.errors import PackError
from qa.packs.rendering import render_pdf
from qa.packs.rendering.fetcher import (
    FONTS,
    STATIC,
    STYLES,
    AddressError,
    PackFetcher,
    PrintCopyError,
)
from tests.unit.packs.rendering.small import document, jpeg

TARGETS = (
    "file:///etc/passwd",
    "http://127.0.0.1:9/x",
    "//127.0.0.1:9/x",
    "data:image/png;base64,AAAA",
)

SNIPPETS = (
    *(f'<img alt="x" src="{target}">' for target in TARGETS),
    *(f'<link rel="stylesheet" href="{target}">' for target in TARGETS),
    *(f"<style>@import url({target});</style>" for target in TARGETS),
    *(f'<p style="background: url({target})">x</p>' for target in TARGETS),
    *(f'<ul style="list-style-image: url({target})"><li>x</ul>' for target in TARGETS),
    *(
        f'<style>@font-face{{font-family:x;src:url({target})}}</style><p style="font-family:x">x'
        for target in TARGETS
    ),
    *(
        f"<svg xmlns:xlink='http://www.w3.org/1999/xlink'><title>x</title>"
        f"<image xlink:href='{target}' width='9' height='9'/></svg>"
        for target in TARGETS
    ),
    *(f"<svg><title>x</title><use href='{target}#a'/></svg>" for target in TARGETS),
    *(f"<p class=h>x</p><style>.h::before{{content:url({target})}}</style>" for target in TARGETS),
    '<img alt="x" src="pack:photo/../../../etc/passwd">',
    '<img alt="x" src="pack:font/..%2F..%2Fetc%2Fpasswd">',
    '<img alt="x" src="pack:style//etc/passwd">',
    '<img alt="x" src="PACK:photo/x">',
    '<link rel="attachment" href="file:///etc/passwd">',
    '<a rel="attachment" href="file:///etc/passwd">x</a>',
    '<base href="file:///etc/"><img alt="x" src="passwd">',
    '<object data="file:///etc/passwd">x</object><embed src="file:///etc/passwd">',
    '<iframe src="file:///etc/passwd"></iframe><script src="file:///etc/passwd"></script>',
    '<meta http-equiv="refresh" content="0;url=file:///etc/passwd"><p>x',
    "<style>@page{background:url(file:///etc/passwd)}</style><p>x",
    "<style>@namespace url(file:///etc/passwd);@color-profile --x{src:url(file:///etc/passwd)}</style>x",
)


class Watch:
    """Notes each file opened and each connection tried while it is on."""

    def __init__(self) -> None:
        self.on = False
        self.files: list[str] = []
        self.connections: list[str] = []
        sys.addaudithook(self._hear)

    def _hear(self, event: str, details: tuple[object, ...]) -> None:
        if not self.on:
            return
        if event == "open":
            self.files.append(str(details[0]))
        elif event.startswith(("socket.", "urllib.", "http.", "ftplib.", "subprocess.")):
            self.connections.append(event)


WATCH = Watch()


@contextmanager
def watched() -> Iterator[Watch]:
    WATCH.files, WATCH.connections, WATCH.on = [], [], True
    try:
        yield WATCH
    finally:
        WATCH.on = False


def is_own(path: str) -> bool:
    """Whether a file belongs to the package, the interpreter or the font configuration's folder."""
    own = (str(STATIC), sys.prefix, sys.base_prefix, f"{tempfile.gettempdir()}/weasyprint-")
    return path.isdigit() or path.startswith(own)


@pytest.mark.parametrize("snippet", SNIPPETS, ids=range(len(SNIPPETS)))
def test_hostile_page_reads_no_file_and_calls_nobody(snippet: str) -> None:
    render_pdf(document("<p>warm"))  # what is imported late is imported now
    with watched() as watch:
        try:
            pdf = render_pdf(document(f"<p>x</p>{snippet}"))
        except PackError:
            pdf = b""
    assert watch.connections == []
    assert [path for path in watch.files if not is_own(path)] == []
    assert b"root:" not in pdf


def test_hostile_pages_are_forty_or_more() -> None:
    assert len(SNIPPETS) >= 40


@pytest.mark.parametrize("kind", ["photo", "font", "style"])
def test_unknown_name_on_a_shelf_is_refused(kind: str) -> None:
    with pytest.raises(AddressError):
        PackFetcher({})(f"pack:{kind}/unknown")


def test_refusal_is_noted_although_weasyprint_goes_on() -> None:
    with pytest.raises(AddressError, match="not part of its document"):
        render_pdf(document('<p>x <img alt="x" src="http://127.0.0.1:9/">'))


def test_packaged_faces_and_styles_are_answered() -> None:
    fetcher = PackFetcher({})
    for kind, shelf in (("font", FONTS), ("style", STYLES)):
        for name, path in shelf.items():
            assert fetcher(f"pack:{kind}/{name}").read() == path.read_bytes()
    assert fetcher.faults == []


def test_photograph_with_metadata_is_refused(tmp_path: Path) -> None:
    digest = "a" * 64
    photos = {digest: jpeg(tmp_path / "a.jpg", exif=True)}
    with pytest.raises(PrintCopyError, match="metadata"):
        render_pdf(document(f'<img alt="x" src="pack:photo/{digest}">', photos=photos))


@pytest.mark.parametrize(("mode", "refused"), [("RGB", False), ("L", False), ("CMYK", True)])
def test_photograph_in_print_colours_is_refused(tmp_path: Path, mode: str, refused: bool) -> None:
    digest = "b" * 64
    fetcher = PackFetcher({digest: jpeg(tmp_path / "b.jpg", mode=mode)})
    if refused:
        with pytest.raises(PrintCopyError):
            fetcher(f"pack:photo/{digest}")
    else:
        fetcher(f"pack:photo/{digest}")


def test_picture_that_is_no_jpeg_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "c.jpg"
    path.write_bytes(b"<svg/>")
    with pytest.raises(PrintCopyError, match="not a JPEG"):
        PackFetcher({"c" * 64: path})(f"pack:photo/{'c' * 64}")

"""The site on a port: what it opened for an answer is closed, whatever becomes of the browser."""

from __future__ import annotations

import io
import socket
import struct
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from flask import Flask, Response, send_file

from qa.web.serving import SiteServer, listen

LARGE = 30 * 1024**2
CUT = struct.pack("ii", 1, 0)
"""SO_LINGER: the connection is cut and not ended."""


class Watched(io.FileIO):
    """A file that tells when it is closed."""

    def __init__(self, path: Path, closed: threading.Event) -> None:
        super().__init__(path)
        self._closed = closed

    def close(self) -> None:
        super().close()
        self._closed.set()


@pytest.fixture
def closed() -> threading.Event:
    """Set when the photograph that the site sends is closed."""
    return threading.Event()


@contextmanager
def asking(tmp_path: Path, closed: threading.Event) -> Iterator[socket.socket]:
    """A browser that has read the beginning of a large photograph; afterwards the site is ended."""
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(bytes(LARGE))
    app = Flask(__name__)

    @app.get("/")
    def answer() -> Response:
        return send_file(Watched(photo, closed), mimetype="image/jpeg")

    listening = listen("127.0.0.1", 0)
    server = SiteServer(app, listening)
    thread = threading.Thread(target=server.run)
    thread.start()
    with socket.create_connection(listening.getsockname()) as browser:
        browser.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
        try:
            assert browser.recv(1000)
            yield browser
        finally:
            server.stop()
            thread.join(20)


def test_file_is_closed_when_the_browser_leaves(tmp_path: Path, closed: threading.Event) -> None:
    with asking(tmp_path, closed) as browser:
        browser.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, CUT)
        browser.close()
        assert closed.wait(20)


def test_file_is_closed_when_the_site_ends_first(tmp_path: Path, closed: threading.Event) -> None:
    with asking(tmp_path, closed):
        assert not closed.is_set()
    assert closed.is_set()

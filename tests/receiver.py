"""A real receiver of events on loopback: it answers as it is told to, and keeps what arrives."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass(frozen=True, slots=True)
class Arrived:
    """A request as it came."""

    path: str
    headers: Mapping[str, str]
    body: bytes


@dataclass(slots=True)
class Receiver:
    """What a receiver answers, and what has arrived.

    Attributes:
        statuses: the next answers; 200 after the last of them.
        holds: set once answers may be given; a receiver that is slow has it unset.
    """

    port: int
    statuses: list[int] = field(default_factory=list)
    arrived: list[Arrived] = field(default_factory=list)
    holds: threading.Event = field(default_factory=threading.Event)

    @property
    def address(self) -> str:
        """Where events are sent to."""
        return f"http://127.0.0.1:{self.port}/events?from=roofs"

    def take(self, request: BaseHTTPRequestHandler) -> int:
        """Keeps a request, and says what is answered."""
        body = request.rfile.read(int(request.headers["Content-Length"]))
        self.arrived.append(Arrived(request.path, dict(request.headers), body))
        return self.statuses.pop(0) if self.statuses else 200


@contextmanager
def receiving(port: int = 0) -> Iterator[Receiver]:
    """A receiver that listens while the block runs, on a port of its own or on a given one."""
    receiver = Receiver(port=port)

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            status = receiver.take(self)
            receiver.holds.wait(20)
            self.send_response(status)
            if 300 <= status < 400:
                self.send_header("Location", f"http://127.0.0.1:{receiver.port}/elsewhere")
            self.send_header("Content-Length", "6")
            self.end_headers()
            self.wfile.write(b"secret")

        def log_message(self, *_: object) -> None:
            """Says nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", port), Handler)
    receiver.port = server.server_port
    receiver.holds.set()
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield receiver
    finally:
        receiver.holds.set()
        server.shutdown()
        thread.join()
        server.server_close()

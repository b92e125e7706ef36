"""The site on a port: waitress with a bounded number of threads, and a clean end.

A body that is too large is still read to its end, up to a bound, so that the browser gets the page
that says so; a connection that is cut shows nothing.
"""

from __future__ import annotations

import socket
from typing import TYPE_CHECKING, Any

from waitress.server import create_server

if TYPE_CHECKING:
    from flask import Flask

THREADS = 8
LARGEST_BODY_BYTES = 4 * 1024**3
"""Twice the largest that is taken; what arrives is kept in a file, not in memory."""
LARGEST_QUEUE = 100


class SiteServer:
    """A site that listens from the moment it is made."""

    def __init__(self, app: Flask, listening: socket.socket) -> None:
        """Prepares it.

        Args:
            app: the site.
            listening: see `listen`.
        """
        self._server: Any = create_server(
            app,
            sockets=[listening],
            threads=THREADS,
            max_request_body_size=LARGEST_BODY_BYTES,
            connection_limit=LARGEST_QUEUE,
            clear_untrusted_proxy_headers=True,
            ident=None,
        )

    def run(self) -> None:
        """Answers until `stop`, or until SystemExit or KeyboardInterrupt arrives.

        Requests in hand are finished first.
        """
        self._server.run()
        self._server.task_dispatcher.shutdown()
        self._server.close()

    def stop(self) -> None:
        """Ends `run` from another thread, in the thread that it runs in."""
        self._server.trigger.pull_trigger(self._close_all)

    def _close_all(self) -> None:
        self._server.task_dispatcher.shutdown()
        for channel in tuple(self._server.active_channels.values()):
            channel.handle_close()  # closes the file that it was sending, too
        for other in tuple(self._server._map.values()):  # noqa: SLF001 - waitress offers no other way
            other.close()


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens.

    Args:
        host: a name or address of this machine.
        port: 0 for any that is free.

    Raises:
        OSError: the address is in use, or not this machine's.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
    except OSError:
        listening.close()
        raise
    return listening

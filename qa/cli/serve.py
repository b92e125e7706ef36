"""`laidtrue serve`."""

from __future__ import annotations

import signal
from dataclasses import replace
from types import FrameType

import click

from qa.cli.answering import say
from qa.cli.installed import opened
from qa.errors import UsageError
from qa.settings import DEFAULT_ORIGIN, Settings

HOST = "127.0.0.1"
PORT = 8321


@click.command()
@click.option("--host", default=HOST, show_default=True, help="The address to listen on.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=PORT,
    show_default=True,
    help="The port to listen on; 0 takes a free one.",
)
@click.pass_obj
def serve(settings: Settings, host: str, port: int) -> None:
    """Serve the site from this machine until Ctrl-C.

    It needs no other service: database and photographs lie in the instance folder.
    LAIDTRUE_ORIGIN names the address by which browsers reach it, where that is another than
    http://localhost and the port.

    \b
    Example:
      laidtrue serve
    """
    from qa import create_app
    from qa.services.background import Background
    from qa.web import clock
    from qa.web.request_log import write_log_to_stderr
    from qa.web.serving import SiteServer, listen

    try:
        listening = listen(host, port)
    except OSError as error:
        raise UsageError(
            f"Port {port} of {host} cannot be used: {error.strerror}; name another with --port."
        ) from error
    settings = _at_port(settings, listening.getsockname()[1])
    with opened(settings) as installation:
        write_log_to_stderr()
        server = SiteServer(create_app(settings, installation=installation), listening)
        background = Background(installation, clock.now)
        signal.signal(signal.SIGTERM, _end)
        background.start()
        say(f"Laidtrue is at {settings.origin} (Ctrl-C ends it)\n")
        try:
            server.run()
        finally:
            background.stop()
    say("Stopped.\n")


def _at_port(settings: Settings, port: int) -> Settings:
    """The settings with the origin of another port, where nothing else was named."""
    if settings.origin != DEFAULT_ORIGIN:
        return settings
    return replace(settings, origin=f"http://localhost:{port}")


def _end(_signal: int, _frame: FrameType | None) -> None:
    raise SystemExit

"""`laidtrue work`."""

from __future__ import annotations

import signal
import threading

import click

from qa.cli.answering import say
from qa.cli.installed import now, opened
from qa.settings import Settings


@click.command()
@click.option("--once", is_flag=True, help="Do what is due now, and end.")
@click.pass_obj
def work(settings: Settings, once: bool) -> None:
    """Work in the background: copies of photos, and packs that were asked for.

    `laidtrue serve` does this itself; a worker of its own is for several web processes.
    """
    from qa.services.background import Background
    from qa.services.delivery import work_all
    from qa.services.reminding import remind

    with opened(settings) as installation:
        if once:
            remind(installation, now=now())
            done = work_all(installation, now=now())
            say(f"{done} {'task' if done == 1 else 'tasks'} done\n")
            return
        told_to_end = _told_to_end()
        background = Background(installation, now)
        background.start()
        say("Working; end it with Ctrl-C.\n")
        try:
            told_to_end.wait()
        finally:
            background.stop()


def _told_to_end() -> threading.Event:
    """Set by Ctrl-C and by whoever keeps the services of the machine."""
    ended = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: ended.set())
    return ended

"""`laidtrue rebuild`."""

from __future__ import annotations

import click

from qa.cli.answering import say
from qa.cli.installed import opened
from qa.cli.progress import shown_progress
from qa.settings import Settings


@click.command()
@click.pass_obj
def rebuild(settings: Settings) -> None:
    """Make everything that lists show anew from the entries.

    It ends in the same rows, unless something was wrong with them: such jobs are named.
    """
    from qa.services.rebuilding import rebuild as rebuild_lists

    with opened(settings) as installation, shown_progress() as progress:
        done = rebuild_lists(installation, progress=progress)
    jobs = "1 job" if done.jobs == 1 else f"{done.jobs} jobs"
    others = "".join(
        f"{reference}: its lists were wrong, and are right now\n" for reference in done.changed
    )
    say(f"{jobs} read from the first entry to the last\n{others}")

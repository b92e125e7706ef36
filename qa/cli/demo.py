"""`laidtrue demo`."""

from __future__ import annotations

import click

from qa.cli.answering import say
from qa.cli.clock import now
from qa.cli.progress import shown_progress
from qa.settings import Settings


@click.command()
@click.pass_obj
def demo(settings: Settings) -> None:
    """Make the demo job and its packs, put it into the site; print where, and how to sign in.

    Everything in it is invented, and its photos are drawn by the program.
    """
    from qa.demo.making import make_demo

    with shown_progress() as progress:
        made = make_demo(settings, now=now(), progress=progress)
    say(made.text)

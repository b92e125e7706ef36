"""`laidtrue demo`."""

from __future__ import annotations

import click

from qa.cli.answering import say
from qa.cli.progress import shown_progress
from qa.settings import Settings


@click.command()
@click.pass_obj
def demo(settings: Settings) -> None:
    """Make the demo job, judge it and make its packs; print where they are.

    Everything in it is invented, and its photos are drawn by the program.
    """
    from qa.demo.making import make_demo

    with shown_progress() as progress:
        made = make_demo(settings, progress=progress)
    say(made.text)

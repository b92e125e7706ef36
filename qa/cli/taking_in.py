"""`laidtrue import`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.installed import firm_option, now, opened
from qa.cli.options import FOLDER
from qa.settings import Settings


@click.command("import")
@click.argument("folder", type=FOLDER, metavar="FOLDER")
@firm_option
@click.pass_obj
def import_(settings: Settings, folder: Path, firm: str | None) -> None:
    """Take a job folder into the installation: all of it, or nothing.

    A folder that was taken out of a ledger keeps its chain; one written by hand is sealed now. The
    same folder taken in twice has the effect of once. A specification that the folder carries is
    kept with it where the firm has none of its name.

    \b
    Example:
      laidtrue import a-job
    """
    from qa.services.firms import firm_named
    from qa.services.taking_in import brought_along, take_job_in

    with opened(settings) as installation:
        firm_id = firm_named(installation, firm)
        job_id = take_job_in(installation, firm_id=firm_id, folder=folder, now=now())
        brought = brought_along(installation, firm_id=firm_id, job_id=job_id)
    say(f"{job_id}\n")
    if brought is not None:
        click.echo(f"The folder brought along the specification {brought}.", err=True)

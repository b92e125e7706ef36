"""The commands put together, and the one table from what went wrong to an exit status.

Errors become one sentence on standard error and exit status 2.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import click

from qa import __version__
from qa.cli.assess import assess
from qa.cli.audit import audit
from qa.cli.backup import backup, restore
from qa.cli.demo import demo
from qa.cli.dew_point import dewpoint
from qa.cli.dose import dose
from qa.cli.drift import drift
from qa.cli.falls import falls
from qa.cli.mixes import mixes
from qa.cli.pack import pack
from qa.cli.person import person
from qa.cli.rebuild import rebuild
from qa.cli.serve import serve
from qa.cli.take_off import takeoff
from qa.cli.taking_in import import_
from qa.cli.taking_out import export
from qa.cli.work import work
from qa.errors import EXIT_UNREADABLE, LaidtrueError
from qa.settings import read_settings


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="laidtrue")
def cli() -> None:
    """The job-quality record of a hand-laid GRP flat roof: judge it, and make its packs.

    FOLDER is a job folder: record.jsonl, one entry a line, and photos/. JOB is the reference of a
    job that the installation keeps.

    Whatever reckons (takeoff, dose, mixes, dewpoint, falls) states its basis; the supplier's data
    sheet for the material in the tin always comes first.
    """


OF_JOBS = (assess, pack, demo)
OF_THE_TRADE = (takeoff, dose, mixes, dewpoint, falls, drift, audit)
OF_THE_INSTALLATION = (serve, person, import_, export, rebuild, backup, restore, work)

for command in (*OF_JOBS, *OF_THE_TRADE, *OF_THE_INSTALLATION):
    cli.add_command(command)


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and answers its exit status."""
    try:
        settings = read_settings(os.environ, home=Path.home())
        cli.main(args=arguments, prog_name="laidtrue", obj=settings, standalone_mode=False)
    except LaidtrueError as error:
        click.echo(error, err=True)
        return EXIT_UNREADABLE
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except click.Abort:
        click.echo("Stopped; nothing half-written is left.", err=True)
        return 130
    return 0

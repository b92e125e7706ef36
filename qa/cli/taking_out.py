"""`laidtrue export`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.installed import firm_option, opened
from qa.cli.options import FOLDER
from qa.settings import Settings


@click.command()
@click.argument("job", metavar="JOB")
@click.argument("folder", type=FOLDER, metavar="FOLDER")
@firm_option
@click.pass_obj
def export(settings: Settings, job: str, folder: Path, firm: str | None) -> None:
    """Take a job of the installation out, as a folder that stands alone.

    JOB is its reference; FOLDER is made. It holds every entry with its chain, the personal values
    that are left, and the originals.

    \b
    Example:
      laidtrue export R-2026-014 a-job
    """
    from qa.services.firms import firm_named
    from qa.services.taking_out import job_of_reference, write_job_folder

    with opened(settings) as installation:
        firm_id = firm_named(installation, firm)
        job_id = job_of_reference(installation, firm_id=firm_id, reference=job)
        write_job_folder(installation, firm_id=firm_id, job_id=job_id, folder=folder)
    say(f"{folder}\n")

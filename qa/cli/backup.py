"""`laidtrue backup` and `laidtrue restore`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.installed import opened
from qa.cli.options import FOLDER
from qa.cli.progress import shown_progress
from qa.settings import Settings


@click.command()
@click.argument("folder", type=FOLDER, metavar="FOLDER")
@click.pass_obj
def backup(settings: Settings, folder: Path) -> None:
    """Copy the installation into a new FOLDER while it goes on working.

    It holds the database, the originals, the packs and the keys. Whoever has it can read every
    personal value in it and sign in as anybody: keep it as you keep the installation.

    \b
    Example:
      laidtrue backup /mnt/other-disk/2026-05-12
    """
    from qa.services.backing_up import back_up, require_sqlite

    require_sqlite(settings)
    with opened(settings) as installation, shown_progress() as progress:
        done = back_up(installation, folder, progress=progress)
    say(f"{folder}: the database, {done.originals} originals, {done.papers} packs and the keys\n")


@click.command()
@click.argument("folder", type=FOLDER, metavar="FOLDER")
@click.pass_obj
def restore(settings: Settings, folder: Path) -> None:
    """Bring a backup back into an empty installation, and read all of it.

    Every chain is reckoned anew, and every original and pack is held against its digest. Where one
    of them is damaged, nothing is restored.

    \b
    Example:
      LAIDTRUE_INSTANCE=/srv/laidtrue laidtrue restore /mnt/other-disk/2026-05-12
    """
    from qa.services.restoring import restore as bring_back

    with shown_progress() as progress:
        found = bring_back(settings, folder, progress=progress)
    say(
        f"{settings.instance}\n"
        f"  jobs       {found.jobs}, {found.entries} entries; every chain holds\n"
        f"  originals  {found.originals}; each has its digest\n"
        f"  packs      {found.papers}; each has its digest\n"
    )

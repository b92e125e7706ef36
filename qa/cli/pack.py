"""`laidtrue pack`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import FOLDER, specification_option
from qa.cli.progress import shown_progress
from qa.settings import Settings


@click.command()
@click.argument("kind", type=click.Choice(["handover", "warranty"]), metavar="KIND")
@click.argument("folder", type=FOLDER, metavar="FOLDER")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="The PDF to write.",
)
@specification_option
@click.pass_obj
def pack(
    settings: Settings, kind: str, folder: Path, out: Path, specification: Path | None
) -> None:
    """Make a pack of a job folder.

    KIND is handover (for the homeowner) or warranty (for a warranty desk or an expert).

    The same folder, specification and program version give the same bytes.

    \b
    Example:
      laidtrue pack handover a-job --out handover.pdf
    """
    from qa.services.packing import PackKind, make_pack

    with shown_progress() as progress:
        make_pack(
            PackKind(kind),
            folder,
            out,
            renditions=settings.renditions,
            specification=specification,
            progress=progress,
        )
    say(f"{out}\n")

"""`laidtrue pack`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from qa.cli.answering import say
from qa.cli.installed import firm_option, is_kept_job, opened
from qa.cli.options import FOLDER, specification_option
from qa.cli.progress import shown_progress
from qa.settings import Settings

if TYPE_CHECKING:
    from qa.services.packing import PackKind


@click.command()
@click.argument("kind", type=click.Choice(["handover", "warranty"]), metavar="KIND")
@click.argument("job", type=FOLDER, metavar="FOLDER|JOB")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="The PDF to write.",
)
@specification_option
@firm_option
@click.pass_obj
def pack(
    settings: Settings,
    kind: str,
    job: Path,
    out: Path,
    specification: Path | None,
    firm: str | None,
) -> None:
    """Make a pack of a job: of a folder, or of a job of the installation by its reference.

    KIND is handover (for the homeowner) or warranty (for a warranty desk or an expert).

    The same record, photos, specification and program version give the same bytes.

    \b
    Example:
      laidtrue pack handover a-job --out handover.pdf
    """
    from qa.services.packing import PackKind, make_pack

    if is_kept_job(settings, job, specification):
        _pack_kept(settings, PackKind(kind), str(job), out, firm)
        return
    with shown_progress() as progress:
        make_pack(
            PackKind(kind),
            job,
            out,
            renditions=settings.renditions,
            specification=specification,
            progress=progress,
        )
    say(f"{out}\n")


def _pack_kept(
    settings: Settings, kind: PackKind, reference: str, out: Path, firm: str | None
) -> None:
    from qa.services.firms import firm_named
    from qa.services.keeping import pack_kept_job

    with opened(settings) as installation, shown_progress() as progress:
        firm_id = firm_named(installation, firm)
        pack_kept_job(
            installation, kind, out, firm_id=firm_id, reference=reference, progress=progress
        )
    say(f"{out}\n")

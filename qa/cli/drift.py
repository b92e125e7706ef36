"""`laidtrue drift`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import FOLDER, PATH, json_option
from qa.cli.progress import shown_progress


@click.command()
@click.argument("folders", type=FOLDER, metavar="FOLDER...", nargs=-1, required=True)
@click.option(
    "--by",
    type=click.Choice(["crew", "lot", "month"]),
    help="One chart for each person, batch or month; all together by default.",
)
@click.option(
    "--least",
    type=int,
    default=8,
    show_default=True,
    metavar="POINTS",
    help="Points that a chart needs.",
)
@json_option
@click.option(
    "--specification",
    "specifications",
    type=PATH,
    multiple=True,
    metavar="FILE",
    help="A specification that is not built in; may be given again.",
)
def drift(
    folders: tuple[Path, ...],
    by: str | None,
    least: int,
    as_json: bool,
    specifications: tuple[Path, ...],
) -> None:
    """Say whether work has drifted over many jobs: resin, topcoat, doses, pinholes, photos, delay.

    Each quantity is put in order of time on control charts, apart for each specification and mat.
    Points beyond limits and runs that chance does not make are named by job, day and mix. People
    are told apart by their key in the record: compare the folders of one firm.

    \b
    Example: ines doses 12 mixes within 2 % of the chart, and the next one 20 % too high:
      Dose error, resin, ines (general-grp/1)
        Points    13 of 3 jobs, 19 May 2026 to 2 June 2026; limits on trial
        Target    0 %
        Figures   centre 1.5 %, limits −7.8 % and 10.8 %
          One point beyond 3 sigma:
            20 % at J-3, 2 June 2026, mix-1
      laidtrue drift jobs/* --by crew
      laidtrue drift jobs/2026-05-* --by lot --json
    """
    from qa.assess.across import Grouping
    from qa.services.comparing import compare_folders
    from qa.services.comparing_text import drift_json, drift_text

    with shown_progress() as progress:
        found = compare_folders(
            folders,
            by=Grouping.TOGETHER if by is None else Grouping(by),
            least_points=least,
            specifications=specifications,
            progress=progress,
        )
    say(drift_json(found) if as_json else drift_text(found))

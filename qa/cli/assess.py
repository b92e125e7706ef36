"""`laidtrue assess`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import FOLDER, specification_option
from qa.cli.progress import shown_progress


@click.command()
@click.argument("folder", type=FOLDER, metavar="FOLDER")
@click.option("--json", "as_json", is_flag=True, help="Print the whole assessment as JSON.")
@specification_option
def assess(folder: Path, as_json: bool, specification: Path | None) -> None:
    """Judge a job folder against the specification that it pins.

    Prints how each stage stands and every finding that is not within its limits. The exit status is
    0 whatever the verdicts, and 2 where the record cannot be read.

    \b
    Example:
      laidtrue assess a-job
      laidtrue assess a-job --json > assessment.json
    """
    from qa.services.loading import without_collecting

    # From the first import to the last line, and until the record is let go: a collector that comes
    # back to a long record walks all of it, for a fifth of the whole time.
    with without_collecting():
        say(_answer(folder, as_json, specification))


def _answer(folder: Path, as_json: bool, specification: Path | None) -> str:
    from qa.assess.finding import assessment_text
    from qa.assess.summary import summary_text
    from qa.services.assessing import assess_folder

    with shown_progress() as progress:
        assessment = assess_folder(folder, specification=specification, progress=progress)
    return assessment_text(assessment) if as_json else summary_text(assessment)

"""`laidtrue assess`."""

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
    from qa.assess.finding import Assessment


@click.command()
@click.argument("job", type=FOLDER, metavar="FOLDER|JOB")
@click.option("--json", "as_json", is_flag=True, help="Print the whole assessment as JSON.")
@specification_option
@firm_option
@click.pass_obj
def assess(
    settings: Settings, job: Path, as_json: bool, specification: Path | None, firm: str | None
) -> None:
    """Judge a job against the specification that it pins.

    It is a job folder, or a job of the installation by its reference.

    Prints how each stage stands and every finding that is not within its limits. The exit status is
    0 whatever the verdicts, and 2 where the record cannot be read.

    \b
    Example:
      laidtrue assess a-job
      laidtrue assess a-job --json > assessment.json
      laidtrue assess R-2026-014
    """
    from qa.services.loading import without_collecting

    # From the first import to the last line, and until the record is let go: a collector that comes
    # back to a long record walks all of it, for a fifth of the whole time.
    with without_collecting():
        if is_kept_job(settings, job, specification):
            assessment = _assess_kept(settings, str(job), firm)
        else:
            assessment = _assess_folder(job, specification)
        say(_text(assessment, as_json))


def _assess_folder(folder: Path, specification: Path | None) -> Assessment:
    from qa.services.assessing import assess_folder

    with shown_progress() as progress:
        return assess_folder(folder, specification=specification, progress=progress)


def _assess_kept(settings: Settings, reference: str, firm: str | None) -> Assessment:
    from qa.services.firms import firm_named
    from qa.services.keeping import assess_kept_job

    with opened(settings) as installation:
        firm_id = firm_named(installation, firm)
        return assess_kept_job(installation, firm_id=firm_id, reference=reference)


def _text(assessment: Assessment, as_json: bool) -> str:
    from qa.assess.finding import assessment_text
    from qa.assess.summary import summary_text

    return assessment_text(assessment) if as_json else summary_text(assessment)

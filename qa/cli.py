"""The command `laidtrue`.

Each command imports what it needs when it runs, so that the quick ones stay quick. Errors become
one sentence on standard error and exit status 2; progress is shown on a terminal only.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from qa import __version__
from qa.errors import EXIT_UNREADABLE, LaidtrueError
from qa.settings import Settings, read_settings

if TYPE_CHECKING:
    from qa.services.loading import Progress

_FOLDER = click.Path(path_type=Path)
_SPECIFICATION = click.option(
    "--specification",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The firm's own specification, where the job pins one that is not built in.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="laidtrue")
def cli() -> None:
    """The job-quality record of a hand-laid GRP flat roof: judge it, and make its packs.

    FOLDER is a job folder: record.jsonl, one entry a line, and photos/.
    """


@cli.command()
@click.argument("folder", type=_FOLDER, metavar="FOLDER")
@click.option("--json", "as_json", is_flag=True, help="Print the whole assessment as JSON.")
@_SPECIFICATION
def assess(folder: Path, as_json: bool, specification: Path | None) -> None:
    r"""Judge a job folder against the specification that it pins.

    Prints how each stage stands and every finding that is not within its limits. The exit status is
    0 whatever the verdicts, and 2 where the record cannot be read.

    \b
    Example:
      laidtrue assess a-job
      laidtrue assess a-job --json > assessment.json
    """
    from qa.assess.finding import assessment_text
    from qa.assess.summary import summary_text
    from qa.services.assessing import assess_folder

    with _progress() as progress:
        assessment = assess_folder(folder, specification=specification, progress=progress)
    text = assessment_text(assessment) if as_json else summary_text(assessment)
    click.echo(text, nl=False)


@cli.command()
@click.argument("kind", type=click.Choice(["handover", "warranty"]), metavar="KIND")
@click.argument("folder", type=_FOLDER, metavar="FOLDER")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="The PDF to write.",
)
@_SPECIFICATION
@click.pass_obj
def pack(
    settings: Settings, kind: str, folder: Path, out: Path, specification: Path | None
) -> None:
    r"""Make a pack of a job folder.

    KIND is handover (for the homeowner) or warranty (for a warranty desk or an expert).

    The same folder, specification and program version give the same bytes.

    \b
    Example:
      laidtrue pack handover a-job --out handover.pdf
    """
    from qa.services.packing import PackKind, make_pack

    with _progress() as progress:
        make_pack(
            PackKind(kind),
            folder,
            out,
            renditions=settings.renditions,
            specification=specification,
            progress=progress,
        )
    click.echo(out)


@cli.command()
@click.pass_obj
def demo(settings: Settings) -> None:
    """Make the demo job, judge it and make its packs; print where they are.

    Everything in it is invented, and its photos are drawn by the program.
    """
    from qa.demo.making import make_demo

    with _progress() as progress:
        made = make_demo(settings, progress=progress)
    click.echo(made.text, nl=False)


@contextmanager
def _progress() -> Iterator[Progress | None]:
    """Shows how far long work is, on a terminal; None in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    shown = ""

    def show(doing: str, done: int, whole: int) -> None:
        nonlocal shown
        shown = f"{doing}: {done} of {whole}"
        click.echo(f"\r\x1b[K{shown}", nl=False, err=True)

    try:
        yield show
    finally:
        if shown:
            click.echo("\r\x1b[K", nl=False, err=True)


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and answers its exit status."""
    settings = read_settings(os.environ, home=Path.home())
    try:
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
    except BrokenPipeError:
        # Whoever read our output has seen enough; Python must not complain when it closes it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0

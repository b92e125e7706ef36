"""Arguments and options that several commands share, worded once."""

from __future__ import annotations

from pathlib import Path

import click

FOLDER = click.Path(path_type=Path)

specification_option = click.option(
    "--specification",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The firm's own specification, where the job pins one that is not built in.",
)

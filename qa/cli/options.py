"""Arguments and options that several commands share, worded once."""

from __future__ import annotations

from pathlib import Path

import click

PATH = click.Path(path_type=Path)
FOLDER = PATH

specification_option = click.option(
    "--specification",
    type=PATH,
    metavar="FILE",
    help="The firm's own specification, where the job pins one that is not built in.",
)
general_specification_option = click.option(
    "--specification",
    type=PATH,
    metavar="FILE",
    help="The firm's own specification, in place of the general one.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")

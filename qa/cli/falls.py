"""`laidtrue falls`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import PATH, general_specification_option, json_option


class _Place(click.ParamType[tuple[float, float]]):
    """A place in plan, such as 0.0,1.5."""

    name = "place"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """The place, or a usage error that says how one is written."""
        try:
            x, y = (float(part) for part in str(value).split(","))
        except ValueError:
            self.fail(f"{value} is no place; write x and y in metres, as 0.0,1.5.", param, ctx)
        return x, y


@click.command()
@click.argument("roof", type=PATH, metavar="ROOF")
@click.option("--area", "only", metavar="KEY", help="The one area of ROOF that is asked for.")
@click.option(
    "--outlet",
    "outlets_m",
    type=_Place(),
    multiple=True,
    metavar="X,Y",
    help="An outlet besides those that ROOF names; may be given again.",
)
@json_option
@general_specification_option
def falls(
    roof: Path,
    only: str | None,
    outlets_m: tuple[tuple[float, float], ...],
    as_json: bool,
    specification: Path | None,
) -> None:
    """Say how a roof falls and where water would stand, from its levels.

    ROOF is a job folder or a TOML or JSON file of areas that have levels_m, or a CSV file of
    levels: x, y, z in metres, one place a line. 1:80 is 12.5 mm per m; the larger the second
    number, the flatter the roof.

    \b
    Example: four corners of 4 m x 3 m, the right-hand side 50 mm higher, and the middle 30 mm too
    low. The plane falls 12.5 mm per m (1:80) to the left; 6 l stand in the middle, 5 mm deep.
      laidtrue falls levels.csv --outlet 0,1.5
      laidtrue falls a-job --area main --json
    """
    from qa.services.falls_text import falls_json, falls_text
    from qa.services.surveying import survey_falls

    found = survey_falls(roof, only=only, outlets_m=outlets_m, specification=specification)
    say(falls_json(found) if as_json else falls_text(found))

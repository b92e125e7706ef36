"""`laidtrue dewpoint`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import general_specification_option, json_option


@click.command()
@click.option("--air", "air_c", type=float, required=True, metavar="°C", help="Air temperature.")
@click.option(
    "--humidity", type=float, required=True, metavar="%", help="Relative humidity of the air."
)
@click.option("--deck", "deck_c", type=float, metavar="°C", help="Temperature of the deck.")
@json_option
@general_specification_option
def dewpoint(
    air_c: float,
    humidity: float,
    deck_c: float | None,
    as_json: bool,
    specification: Path | None,
) -> None:
    """Say at what temperature the air begins to condense, and whether the deck is above it.

    \b
    Example: air of 12 °C at 70 % condenses at 6.7 °C. A deck of 9 °C is 2.31 K above that, less
    than the 3 K that are asked for: outside.
      laidtrue dewpoint --air 12 --humidity 70 --deck 9
      laidtrue dewpoint --air 14.5 --humidity 62 --json
    """
    from qa.services.dew_point import advise_dew_point, dew_point_json, dew_point_text
    from qa.services.loading import GENERAL, named_specification

    _, loaded = named_specification(GENERAL, specification)
    advice = advise_dew_point(loaded, air_c=air_c, humidity_pct=humidity, deck_c=deck_c)
    say(dew_point_json(advice) if as_json else dew_point_text(advice))

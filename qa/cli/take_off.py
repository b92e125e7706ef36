"""`laidtrue takeoff`."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import PATH, general_specification_option, json_option


@click.command("takeoff")
@click.argument("roof", type=PATH, metavar="ROOF")
@click.option(
    "--deck", "deck_c", type=float, required=True, metavar="°C", help="Expected deck temperature."
)
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print the order as CSV, for a spreadsheet.")
@click.option("--pdf", type=PATH, metavar="FILE", help="Write the order as one page of PDF.")
@click.option(
    "--date",
    "dated",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    help="Day on the page, where ROOF is no job folder; today by default.",
)
@general_specification_option
def takeoff(
    roof: Path,
    deck_c: float,
    as_json: bool,
    as_csv: bool,
    pdf: Path | None,
    dated: datetime | None,
    specification: Path | None,
) -> None:
    """Take off what to order for a roof, with its waste, in whole containers.

    ROOF is a job folder, or a small TOML or JSON file of areas written as in a record:

    \b
      title = "Garage"
      [[area]]
      area = "main"
      name = "Main roof"
      outline_m = [[0, 0], [6, 0], [6, 4], [0, 4]]
      mat_g_per_m2 = 450
      edges = [{ edge = "eaves", kind = "drip_edge", length_m = 6 }]

    \b
    Example: 24 m² at 1.5 kg/m² with overlaps and bandages take about 43 kg of resin; with 5 % of
    waste that is 2 tins of 20 kg and 1 of 5 kg. At a deck of 12 °C it takes 40 ml/kg of catalyst.
      laidtrue takeoff garage.toml --deck 12
      laidtrue takeoff a-job --deck 12 --pdf order.pdf
    """
    from qa.packs.takeoff.listing import order_csv, order_json, order_text
    from qa.services.taking_off import take_off_roof

    if as_json and as_csv:
        raise click.UsageError("--json and --csv exclude each other; ask for one.")
    taken = take_off_roof(roof, deck_c=deck_c, specification=specification)
    if pdf is not None:
        from qa.services.order_page import make_order_page

        make_order_page(taken, pdf, dated=_today() if dated is None else dated.date())
    if as_json:
        say(order_json(taken.title, taken.take_off, taken.specification))
    elif as_csv:
        say(order_csv(taken.take_off, taken.specification))
    elif pdf is not None:
        say(f"{pdf}\n")
    else:
        say(order_text(taken.title, taken.take_off, taken.specification))


def _today() -> date:
    return date.today()  # noqa: DTZ011, TID251 - the one reading of the clock, at the edge

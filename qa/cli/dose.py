"""`laidtrue dose`."""

from __future__ import annotations

from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import general_specification_option, json_option


@click.command()
@click.option("--kg", type=float, required=True, help="Resin or topcoat in the mix, kg.")
@click.option(
    "--deck", "deck_c", type=float, required=True, metavar="°C", help="Deck temperature as read."
)
@click.option(
    "--mixing",
    "mixing_c",
    type=float,
    metavar="°C",
    help="Deck temperature at the mixing, where it is no longer the one that was read.",
)
@click.option("--topcoat", is_flag=True, help="Dose topcoat, not resin.")
@click.option("--ml", "catalyst_ml", type=float, help="Catalyst that was measured out, to judge.")
@click.option("--density", type=float, metavar="G/ML", help="Density on the catalyst's label.")
@click.option("--active-oxygen", type=float, metavar="%", help="Active oxygen on its label.")
@json_option
@general_specification_option
def dose(
    kg: float,
    deck_c: float,
    mixing_c: float | None,
    topcoat: bool,
    catalyst_ml: float | None,
    density: float | None,
    active_oxygen: float | None,
    as_json: bool,
    specification: Path | None,
) -> None:
    """Say how much catalyst one mix takes at the temperature of the deck.

    The supplier's safety data sheet comes first. Catalyst burns eyes in seconds: wear goggles and
    gloves. Never let it meet accelerator or acetone.

    Outside the chart the answer is: do not mix. The gel time is an estimate.

    \b
    Example: 5 kg of resin on a deck of 14 °C. The chart says 30 ml/kg from 13 to 16 °C, which is
    150 ml; 127.5 to 172.5 ml are accepted. By mass that is 3.54 % at 1.18 g/ml, not 3 %.
      laidtrue dose --kg 5 --deck 14
      laidtrue dose --kg 5 --deck 14 --mixing 16.5 --density 1.017
      laidtrue dose --kg 4 --deck 14 --topcoat --ml 80 --json
    """
    from qa.services.dosing import Dosed, advise_dose
    from qa.services.dosing_text import dose_json, dose_text
    from qa.services.loading import GENERAL, named_specification
    from qa.trade.dosing import CatalystGrade

    _, loaded = named_specification(GENERAL, specification)
    advice = advise_dose(
        loaded,
        material=Dosed.TOPCOAT if topcoat else Dosed.RESIN,
        kg=kg,
        deck_c=deck_c,
        mixing_c=mixing_c,
        grade=CatalystGrade(density_g_per_ml=density, active_oxygen_pct=active_oxygen),
        catalyst_ml=catalyst_ml,
    )
    say(dose_json(advice) if as_json else dose_text(advice))

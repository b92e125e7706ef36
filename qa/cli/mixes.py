"""`laidtrue mixes`."""

from __future__ import annotations

from datetime import datetime, time
from pathlib import Path

import click

from qa.cli.answering import say
from qa.cli.options import general_specification_option, json_option


class _TimeOfDay(click.ParamType[time]):
    """A time of day, such as 08:30."""

    name = "time"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> time:
        """The time, or a usage error that says how one is written."""
        if isinstance(value, time):
            return value
        try:
            return datetime.strptime(str(value), "%H:%M").time()  # noqa: DTZ007 - a time of day
        except ValueError:
            self.fail(f"{value} is no time of day; write it as 08:30.", param, ctx)


class _Forecast(click.ParamType[tuple[time, float]]):
    """A time of day and a deck temperature, such as 08:30=9.5."""

    name = "forecast"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[time, float]:
        """Both, or a usage error that says how they are written."""
        at, sign, deck_c = str(value).partition("=")
        try:
            return _TIME.convert(at, param, ctx), float(deck_c)
        except ValueError:
            missing = "" if sign else "; the temperature is missing"
            self.fail(f"{value} is no forecast; write it as 08:30=9.5{missing}.", param, ctx)


class _Cup(click.ParamType[tuple[float, float]]):
    """A deck temperature and the minutes in which a cup gelled, such as 9=22."""

    name = "cup"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """Both, or a usage error that says how they are written."""
        deck_c, _, gel_min = str(value).partition("=")
        try:
            return float(deck_c), float(gel_min)
        except ValueError:
            self.fail(f"{value} is no cup; write °C and minutes, as 9=22.", param, ctx)


_TIME = _TimeOfDay()


@click.command()
@click.option("--area", "area_m2", type=float, required=True, help="Area to be laid, m².")
@click.option("--mat", type=float, default=450.0, show_default=True, help="Mass of the mat, g/m².")
@click.option("--layers", type=int, default=1, show_default=True, help="Layers of mat.")
@click.option("--pace", type=float, help="Pace of the crew, m²/h; the specification's by default.")
@click.option(
    "--forecast",
    type=_Forecast(),
    multiple=True,
    required=True,
    metavar="HH:MM=°C",
    help="Deck temperature expected at a time; twice or more.",
)
@click.option(
    "--cup",
    type=_Cup(),
    metavar="°C=MIN",
    help="Gel time of a cup of the day's resin, dosed by the chart at that deck temperature.",
)
@click.option("--start", type=_TIME, default="08:00", show_default=True, metavar="HH:MM")
@click.option("--end", type=_TIME, default="17:00", show_default=True, metavar="HH:MM")
@json_option
@general_specification_option
def mixes(
    area_m2: float,
    mat: float,
    layers: int,
    pace: float | None,
    forecast: tuple[tuple[time, float], ...],
    cup: tuple[float, float] | None,
    start: time,
    end: time,
    as_json: bool,
    specification: Path | None,
) -> None:
    """Plan a day's mixes of resin so that each is emptied before it can gel.

    A plan, never a promise: gel times are estimates. Read the deck and the chart again at every
    mix. The supplier's safety data sheet comes first; goggles and gloves, and never let catalyst
    meet accelerator or acetone.

    \b
    Example: 12 m² of 450 g/m² at 12 m²/h, the deck warming from 16 to 19 °C. The first mix is 3 kg
    for 2 m². At 20 ml/kg a mix may gel after 17 min, in which the crew lays 3.3 m²: 5 kg each.
      laidtrue mixes --area 12 --start 09:00 --forecast 09:00=16 --forecast 17:00=19
      laidtrue mixes --area 24 --forecast 08:00=9 --forecast 17:00=12 --cup 9=22
    """
    from qa.services.loading import GENERAL, named_specification
    from qa.services.mix_planning import Cup, day_json, day_text, plan_day

    _, loaded = named_specification(GENERAL, specification)
    plan = plan_day(
        loaded,
        area_m2=area_m2,
        mat_g_per_m2=mat,
        layers=layers,
        start=start,
        end=end,
        forecast=forecast,
        pace_m2_per_h=pace,
        cup=None if cup is None else Cup(deck_c=cup[0], gel_min=cup[1]),
    )
    say(day_json(plan) if as_json else day_text(plan))

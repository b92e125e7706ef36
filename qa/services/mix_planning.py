"""A day's mixes from a forecast, as a list to pin up and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from math import fsum

from qa.errors import DomainError
from qa.services.dosing_text import CAUTIONS
from qa.specification.model import Specification
from qa.trade.consumption import expected_laminate_resin_kg_per_m2
from qa.trade.gel_time import GelModel, GelPoint
from qa.trade.mix_plan import Crew, Forecast, PlannedMix, plan_mixes
from qa.trade.notation import number_text, quantity_text

FIRST_MIX = "laminate.first_mix_area"

_DAY = date(2000, 1, 1)
"""A day without name: a plan of one day knows the time of day only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """A cup of the day's resin, dosed by the chart's target, that was let gel on the deck.

    Attributes:
        deck_c: deck temperature, °C.
        gel_min: gel time, minutes.
    """

    deck_c: float
    gel_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlan:
    """The mixes of a day.

    Attributes:
        area_m2: area to be laid, m².
        resin_kg_per_m2: resin for a square metre, kg/m².
        mixes: the mixes in order.
    """

    area_m2: float
    resin_kg_per_m2: float
    mixes: tuple[PlannedMix, ...]

    @property
    def left_m2(self) -> float:
        """Area that the day is too short, too cold or too warm for, m²."""
        return max(0.0, self.area_m2 - fsum(mix.m2 for mix in self.mixes))


def plan_day(
    specification: Specification,
    *,
    area_m2: float,
    mat_g_per_m2: float,
    layers: int,
    start: time,
    end: time,
    forecast: Sequence[tuple[time, float]],
    pace_m2_per_h: float | None = None,
    cup: Cup | None = None,
) -> DayPlan:
    """The mixes of a day by a specification's rates, chart and gel times.

    Args:
        specification: rates, chart, gel times, the first mix and the figures for planning.
        area_m2: area to be laid, m².
        mat_g_per_m2: mass of the mat, g/m².
        layers: layers of mat.
        start: when the first mix may begin.
        end: when the last must be empty, after the start.
        forecast: times and deck temperatures, °C; two or more.
        pace_m2_per_h: pace of the crew, m²/h; None for the specification's.
        cup: a gel time that was tried, or None.

    Raises:
        DomainError: a figure lies outside its range, or the cup outside the chart.
    """
    if len(forecast) < 2:
        raise DomainError("number of forecast temperatures", len(forecast), "2 or more")
    figures, planning = specification.figures, specification.planning
    rate = expected_laminate_resin_kg_per_m2(
        mat_g_per_m2=mat_g_per_m2,
        layers=layers,
        resin_to_glass=figures.resin_to_glass.value,
        deck_uptake_kg_per_m2=figures.deck_uptake_kg_per_m2.value,
    )
    mixes = plan_mixes(
        area_m2=area_m2,
        resin_kg_per_m2=rate,
        crew=Crew(
            pace_m2_per_h=planning.crew_pace_m2_per_h.value
            if pace_m2_per_h is None
            else pace_m2_per_h,
            first_mix_m2=specification.checks[FIRST_MIX].limits.upper or area_m2,
            largest_mix_kg=planning.largest_mix_kg.value,
            weighing_step_kg=planning.weighing_step_kg.value,
        ),
        start=datetime.combine(_DAY, start, UTC),
        end=datetime.combine(_DAY, end, UTC),
        forecast=[
            Forecast(at=datetime.combine(_DAY, at, UTC), deck_c=deck_c) for at, deck_c in forecast
        ],
        chart=specification.resin_dose.chart,
        gel=_gel(specification, cup),
    )
    return DayPlan(area_m2=area_m2, resin_kg_per_m2=rate, mixes=mixes)


def _gel(specification: Specification, cup: Cup | None) -> GelModel:
    """The gel times, moved to what was tried."""
    model = specification.gel_time.model
    if cup is None:
        return model
    row = specification.resin_dose.chart.row_at(cup.deck_c)
    if row is None:
        raise DomainError("deck temperature of the cup, °C", f"{cup.deck_c:g}", "inside the chart")
    point = GelPoint(deck_c=cup.deck_c, dose_ml_per_kg=row.target_ml_per_kg, gel_min=cup.gel_min)
    return model.through(point)


def day_text(plan: DayPlan) -> str:
    """The day's mixes as a list."""
    return "\n".join(_lines(plan)) + "\n"


def _lines(plan: DayPlan) -> Iterator[str]:
    kg = fsum(mix.kg for mix in plan.mixes)
    area, rate = quantity_text(plan.area_m2, "m2"), quantity_text(plan.resin_kg_per_m2, "kg/m2")
    yield f"{area} at {rate}: {len(plan.mixes)} mixes, {quantity_text(round(kg, 1), 'kg')}"
    yield ""
    yield "mix  start  deck °C  resin kg  catalyst ml     m²  emptied  empty by"
    for mix in plan.mixes:
        yield (
            f"{mix.number:>3}  {mix.starts_at:%H:%M}  {mix.deck_c:7.1f}  {mix.kg:8.1f}  "
            f"{mix.catalyst_ml:11.0f}  {mix.m2:5.1f}    {mix.emptied_at:%H:%M}     "
            f"{mix.empty_by:%H:%M}{' *' if mix.gel.extrapolated else ''}"
        )
    yield ""
    if plan.left_m2 > 1e-6 * plan.area_m2:
        left = number_text(round(plan.left_m2, 1))
        yield f"{left} m² are left: the day is too short, or the deck outside the chart."
    if any(mix.gel.extrapolated for mix in plan.mixes):
        yield "* beyond the published gel times: the band is wide. Let a cup gel, and give --cup."
    yield "A plan from a forecast. Read the deck and the chart again at every mix; gel times are"
    yield "estimates, and “empty by” is the lower end of their band."
    yield ""
    yield from CAUTIONS


def day_json(plan: DayPlan) -> str:
    """The day's mixes as JSON; times are those of the day, HH:MM."""
    answer = {
        "area_m2": plan.area_m2,
        "resin_kg_per_m2": plan.resin_kg_per_m2,
        "left_m2": plan.left_m2,
        "mixes": [
            {
                "number": mix.number,
                "starts_at": f"{mix.starts_at:%H:%M}",
                "deck_c": mix.deck_c,
                "kg": mix.kg,
                "m2": mix.m2,
                "catalyst_ml": mix.catalyst_ml,
                "emptied_at": f"{mix.emptied_at:%H:%M}",
                "empty_by": f"{mix.empty_by:%H:%M}",
                "gel_min": mix.gel.gel_min,
                "gel_low_min": mix.gel.low_min,
                "extrapolated": mix.gel.extrapolated,
            }
            for mix in plan.mixes
        ],
        "cautions": list(CAUTIONS),
    }
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"

"""What to measure out for one mix, and what speaks against it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from qa.errors import DomainError
from qa.specification.model import SourcedChart, Specification
from qa.trade.catalyst import (
    CatalystAdvice,
    DoseRow,
    dose_ml_per_kg,
    mass_pct,
    target_catalyst_ml,
)
from qa.trade.conformity import Limits, Verdict, judge
from qa.trade.dosing import (
    CatalystGrade,
    GradeDeparture,
    RowChange,
    grade_departures,
    row_change,
)
from qa.trade.gel_time import GelEstimate


class Dosed(StrEnum):
    """What is dosed."""

    RESIN = "resin"
    TOPCOAT = "topcoat"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredDose:
    """A volume that was measured out, judged.

    Attributes:
        catalyst_ml: the volume, ml.
        ml_per_kg: the dose, ml/kg.
        mass_pct: the same by mass, %.
        verdict: against the chart's band, by the specification's rule.
    """

    catalyst_ml: float
    ml_per_kg: float
    mass_pct: float
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseAdvice:
    """The dose of one mix.

    Attributes:
        material: resin or topcoat.
        kg: mass of it in the mix, kg.
        deck_c: deck temperature that the dose holds for, that at the mixing, °C.
        chart: the chart that it was read from, with its basis and source.
        row: its row.
        advice: target and band, ml.
        density_g_per_ml: the catalyst's density, g/ml.
        density_is_assumed: whether that is the chart's, as the bottle's is not known.
        target_mass_pct: the target by mass, %.
        gel: estimated gel time; None for topcoat, and where nothing is known of it.
        measured: what was measured out, or None.
        departures: properties in which the catalyst is not what the chart takes for granted.
        change: how the temperature crossed a row since the reading, or None.
    """

    material: Dosed
    kg: float
    deck_c: float
    chart: SourcedChart
    row: DoseRow
    advice: CatalystAdvice
    density_g_per_ml: float
    density_is_assumed: bool
    target_mass_pct: float
    gel: GelEstimate | None
    measured: MeasuredDose | None
    departures: tuple[GradeDeparture, ...]
    change: RowChange | None


def advise_dose(
    specification: Specification,
    *,
    material: Dosed,
    kg: float,
    deck_c: float,
    mixing_c: float | None = None,
    grade: CatalystGrade | None = None,
    catalyst_ml: float | None = None,
) -> DoseAdvice:
    """The dose of a mix by a specification's chart.

    Args:
        specification: its charts, gel times and what they take for granted.
        material: resin or topcoat.
        kg: mass of it in the mix, kg.
        deck_c: deck temperature that was read, °C.
        mixing_c: deck temperature when the mix is made, °C; None where it is the same.
        grade: the catalyst in the bottle, as far as it is known.
        catalyst_ml: what was measured out, ml, to be judged; None where nothing was yet.

    Raises:
        DomainError: a figure lies outside its range, or the temperature outside the chart, which
            means: do not mix.
    """
    chart = specification.topcoat_dose if material is Dosed.TOPCOAT else specification.resin_dose
    now_c = deck_c if mixing_c is None else mixing_c
    row = _row(chart, now_c)
    bottle = grade or CatalystGrade()
    figures = specification.figures
    density = bottle.density_g_per_ml or figures.catalyst_g_per_ml.value
    measured = None
    if catalyst_ml is not None:
        measured = _measured(specification, row, kg=kg, catalyst_ml=catalyst_ml, density=density)
    dose = row.target_ml_per_kg if measured is None else measured.ml_per_kg
    planning = specification.planning
    return DoseAdvice(
        material=material,
        kg=kg,
        deck_c=now_c,
        chart=chart,
        row=row,
        advice=target_catalyst_ml(resin_kg=kg, row=row),
        density_g_per_ml=density,
        density_is_assumed=bottle.density_g_per_ml is None,
        target_mass_pct=mass_pct(ml_per_kg=row.target_ml_per_kg, density_g_per_ml=density),
        gel=_gel(specification, now_c, dose) if material is Dosed.RESIN else None,
        measured=measured,
        departures=grade_departures(
            bottle,
            assumed=CatalystGrade(
                density_g_per_ml=figures.catalyst_g_per_ml.value,
                active_oxygen_pct=planning.catalyst_active_oxygen_pct.value,
            ),
            accepted_pct=planning.catalyst_departure_pct.value,
        ),
        change=row_change(chart.chart, read_c=deck_c, mixing_c=now_c),
    )


def _row(chart: SourcedChart, deck_c: float) -> DoseRow:
    row = chart.chart.row_at(deck_c)
    if row is None:
        first, last = chart.chart.rows[0], chart.chart.rows[-1]
        domain = f"{first.from_c:g} to {last.to_c:g}: outside the chart, do not mix"
        raise DomainError("deck temperature, °C", f"{deck_c:g}", domain)
    return row


def _measured(
    specification: Specification, row: DoseRow, *, kg: float, catalyst_ml: float, density: float
) -> MeasuredDose:
    dose = dose_ml_per_kg(catalyst_ml=catalyst_ml, resin_kg=kg)
    return MeasuredDose(
        catalyst_ml=catalyst_ml,
        ml_per_kg=dose,
        mass_pct=mass_pct(ml_per_kg=dose, density_g_per_ml=density),
        verdict=judge(
            dose,
            limits=Limits(lower=row.lower_ml_per_kg, upper=row.upper_ml_per_kg),
            expanded_uncertainty=None,
            rule=specification.rule,
        ),
    )


def _gel(specification: Specification, deck_c: float, dose: float) -> GelEstimate | None:
    try:
        return specification.gel_time.model.estimate(deck_c, dose)
    except DomainError:
        return None

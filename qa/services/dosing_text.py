"""A dose as a person reads it beside the bucket, and as JSON, with what can hurt at its foot."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict

from qa.services.dosing import DoseAdvice
from qa.trade.dosing import GradeDeparture, RowChange
from qa.trade.notation import number_text, quantity_text

AT_THE_CATALYST = (
    "Catalyst burns eyes in seconds: goggles and gloves on, eyewash at hand.",
    "Never let catalyst meet accelerator or acetone; keep it cool and away from sparks.",
)
"""What protects the hand that doses."""
CAUTIONS = (
    "The supplier's safety data sheet and local rules come first; competent persons only.",
    *AT_THE_CATALYST,
    "What is left in the bucket gets hot and can catch fire: spread it thin outside.",
)
"""What protects the person who mixes; said with every dose."""


def dose_text(advice: DoseAdvice) -> str:
    """The dose in words, warnings first."""
    return "\n".join((*_warning_lines(advice), *_lines(advice), "", *CAUTIONS)) + "\n"


def dose_json(advice: DoseAdvice) -> str:
    """The dose as JSON."""
    row, gel, measured = advice.row, advice.gel, advice.measured
    answer = {
        "material": advice.material.value,
        "kg": advice.kg,
        "deck_c": advice.deck_c,
        "row": asdict(row),
        "target_ml": advice.advice.target_ml,
        "lower_ml": advice.advice.lower_ml,
        "upper_ml": advice.advice.upper_ml,
        "target_mass_pct": advice.target_mass_pct,
        "density_g_per_ml": advice.density_g_per_ml,
        "density_is_assumed": advice.density_is_assumed,
        "gel": None if gel is None else asdict(gel),
        "measured": None if measured is None else asdict(measured),
        "warnings": list(warnings_of(advice)),
        "basis": advice.chart.basis.value,
        "source": advice.chart.source,
        "cautions": list(CAUTIONS),
    }
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"


def warnings_of(advice: DoseAdvice) -> Iterator[str]:
    """What speaks against taking the chart's dose as it stands, one sentence each."""
    if advice.change is not None:
        yield _change_text(advice.change)
    for departure in advice.departures:
        yield _departure_text(departure)
    if advice.measured is not None and advice.measured.verdict.value != "within":
        yield (
            f"What was measured is {advice.measured.verdict.value.replace('_', ' ')} the band of "
            f"{_band(advice)}."
        )


def _warning_lines(advice: DoseAdvice) -> Iterator[str]:
    warnings = tuple(warnings_of(advice))
    yield from (f"Warning: {warning}" for warning in warnings)
    if warnings:
        yield ""


def _lines(advice: DoseAdvice) -> Iterator[str]:
    row = advice.row
    end = "to" if row.includes_to else "to below"
    yield (
        f"{advice.material.value.capitalize()} {quantity_text(advice.kg, 'kg')}, deck "
        f"{quantity_text(advice.deck_c, '°C')} (chart from {number_text(row.from_c)} {end} "
        f"{number_text(row.to_c)} °C)"
    )
    yield f"Catalyst  {quantity_text(advice.advice.target_ml, 'ml')}, accepted {_band(advice)}"
    taken = ", which is assumed" if advice.density_is_assumed else ""
    yield (
        f"Dose      {quantity_text(row.target_ml_per_kg, 'ml/kg')}: "
        f"{number_text(advice.target_mass_pct, 3)} % by mass at "
        f"{quantity_text(advice.density_g_per_ml, 'g/ml')}{taken}"
    )
    if advice.measured is not None:
        yield (
            f"Measured  {quantity_text(advice.measured.catalyst_ml, 'ml')}: "
            f"{quantity_text(advice.measured.ml_per_kg, 'ml/kg')}, "
            f"{number_text(advice.measured.mass_pct, 3)} % by mass: "
            f"{advice.measured.verdict.value.replace('_', ' ')}"
        )
    yield f"Gel time  {_gel_text(advice)}"
    yield f"Basis     {advice.chart.basis.value}: {advice.chart.source}"


def _band(advice: DoseAdvice) -> str:
    lower, upper = advice.advice.lower_ml, advice.advice.upper_ml
    return f"{number_text(lower)} to {quantity_text(upper, 'ml')}"


def _gel_text(advice: DoseAdvice) -> str:
    gel = advice.gel
    if gel is None:
        return "not known here: the specification has no gel time for it"
    beyond = "; beyond the table that it was fitted to" if gel.extrapolated else ""
    return (
        f"about {gel.gel_min:.0f} min ({gel.low_min:.0f} to {gel.high_min:.0f}), an estimate"
        f"{beyond}"
    )


def _change_text(change: RowChange) -> str:
    was = "outside the chart" if change.read_row is None else "in another row of the chart"
    return (
        f"The deck was {was} at the reading ({quantity_text(change.read_c, '°C')}) and is "
        f"{quantity_text(change.mixing_c, '°C')} now; the dose below is for now."
    )


def _departure_text(found: GradeDeparture) -> str:
    way = "above" if found.departure_pct > 0 else "below"
    return (
        f"The catalyst's {found.quantity} is {quantity_text(found.found, found.unit)}, "
        f"{number_text(abs(found.departure_pct), 2)} % {way} the "
        f"{quantity_text(found.assumed, found.unit)} of the chart: ask the supplier for the dose."
    )

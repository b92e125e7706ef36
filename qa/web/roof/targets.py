"""The dose that a mix aims at, as a page shows it and as its script reckons it.

Both stand on the same chart: the page's figures come from `qa.services.dosing`, and the script gets
the chart's rows as data.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass

from qa.errors import DomainError
from qa.services.dosing import DoseAdvice, advise_dose
from qa.services.dosing_text import warnings_of
from qa.services.mix_table import MixTable
from qa.specification.model import Specification
from qa.texts.saying import say, to_say
from qa.trade.dosing import CatalystGrade
from qa.trade.notation import number_text

SUPPLIER_WINS = to_say("The supplier’s data sheet for the material in the tin wins.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """The target of one mix, or why there is none.

    Attributes:
        ml: the target, ml, as text; nothing where it is not known.
        band: the accepted band in words.
        refusal: why nothing may be mixed, or nothing.
        warnings: what speaks against taking the dose as it stands.
        gel: the estimated gel time in words.
    """

    ml: str = ""
    band: str = ""
    refusal: str = ""
    warnings: tuple[str, ...] = ()
    gel: str = ""


def target_of(
    specification: Specification,
    table: MixTable,
    *,
    kg: float | None,
    deck_c: float | None,
    catalyst_lot: str | None,
) -> Target:
    """The target of a mix, as far as its figures are known.

    Args:
        specification: the one that the job pins.
        table: what is proposed for the mix.
        kg: mass in the bucket, kg, or None.
        deck_c: deck temperature, °C, or None.
        catalyst_lot: key of the catalyst's lot, or None.
    """
    if kg is None or deck_c is None:
        return Target()
    look = table.looks.in_force
    try:
        advice = advise_dose(
            specification,
            material=table.material,
            kg=kg,
            deck_c=deck_c if look is None else look.deck_c,
            mixing_c=deck_c,
            grade=_grade(table, catalyst_lot),
        )
    except DomainError as error:
        return Target(refusal=_refusal(table, error, deck_c))
    return Target(
        ml=number_text(advice.advice.target_ml),
        band=band_text(advice),
        warnings=tuple(warnings_of(advice)),
        gel=gel_text(advice),
    )


def band_text(advice: DoseAdvice) -> str:
    """The accepted band in words."""
    lower, upper = number_text(advice.advice.lower_ml), number_text(advice.advice.upper_ml)
    return say("accepted %(lower)s to %(upper)s ml", lower=lower, upper=upper)


def gel_text(advice: DoseAdvice) -> str:
    """The estimated gel time in words, or nothing where the specification has none."""
    if advice.gel is None:
        return ""
    gel = advice.gel
    return say(
        "Gels in about %(gel_min)s min (%(low_min)s to %(high_min)s): an estimate, never exact.",
        gel_min=f"{gel.gel_min:.0f}",
        low_min=f"{gel.low_min:.0f}",
        high_min=f"{gel.high_min:.0f}",
    )


def chart_json(specification: Specification, table: MixTable) -> str:
    """Everything that the page's script needs to reckon the same target, as JSON."""
    model = specification.gel_time.model
    rows = [asdict(row) for row in table.chart.chart.rows]
    look = table.looks.in_force
    answer: Mapping[str, object] = {
        "rows": rows,
        "gel": None if table.material.value == "topcoat" else asdict(model),
        "read_c": None if look is None else look.deck_c,
        "left": [[share.key, share.kg] for share in table.left],
    }
    return json.dumps(answer, ensure_ascii=False, separators=(",", ":"))


def _grade(table: MixTable, catalyst_lot: str | None) -> CatalystGrade | None:
    for lot in table.catalyst_lots:
        if lot.lot == catalyst_lot:
            return CatalystGrade(
                density_g_per_ml=lot.density_g_per_ml, active_oxygen_pct=lot.active_oxygen_pct
            )
    return None


def _refusal(table: MixTable, error: DomainError, deck_c: float) -> str:
    rows = table.chart.chart.rows
    if table.chart.chart.row_at(deck_c) is not None:
        return str(error)
    chart = say(
        "%(figure)s to %(until)s °C",
        figure=number_text(rows[0].from_c),
        until=number_text(rows[-1].to_c),
    )
    return say(
        "Do not mix, because the deck is at %(figure)s °C and the chart goes from "
        "%(chart)s. Outside it no dose is known.",
        figure=number_text(deck_c),
        chart=chart,
    )

"""Every mix: what went into it, its dose against the chart, and all its verdicts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.finding import Finding
from qa.assess.mixes import DOSE, IN_DATE, USED_IN_TIME, is_topcoat, mix_dose_ml_per_kg
from qa.packs.drawing.dose_plot import DosedMix, DosePanel, DosePlot, draw_dose_plot
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart
from qa.packs.warranty.citing import Citing, area_label
from qa.packs.warranty.families import Family, said_of_set, sets_of
from qa.packs.warranty.found import NOTHING
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix
from qa.trade.bay_runs import bay_runs
from qa.trade.conformity import Verdict
from qa.trade.notation import number_text
from qa.trade.vocabulary import Stage

Sets = Mapping[tuple[object, ...], Sequence[Finding]]


@dataclass(frozen=True, slots=True, kw_only=True)
class MixRow:
    """One mix; the heads of the table name the units.

    Attributes:
        dose: ml of catalyst per kg.
        chart: the chart's target and accepted band, in the same unit.
        stirred: seconds before and after dosing.
        emptied: minutes until it was emptied, of the estimated gel time.
        place: its area, and its bays where they are named.
        lots: its two lots, and how many days were left to the earlier use-by date.
        findings: how many findings its verdict tells.
    """

    mix: str
    cited: str
    kg: str
    catalyst_ml: str
    dose: str
    chart: str
    deck_c: str
    stirred: str
    emptied: str
    lots: str
    place: str
    verdict: Said
    apart: bool
    findings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MixTable:
    """The mixes of one stage."""

    caption: str
    rows: tuple[MixRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixes:
    """What the chapter shows."""

    plot: Markup
    tables: tuple[MixTable, ...]


def mixes(source: PackSource, citing: Citing) -> Mixes:
    """All mixes of the job."""
    sets = sets_of(source.assessment.findings, Family.MIX)
    return Mixes(
        plot=draw_dose_plot(DosePlot(panels=tuple(_panels(source, sets)))),
        tables=tuple(_tables(source, citing, sets)),
    )


def _tables(source: PackSource, citing: Citing, sets: Sets) -> Iterator[MixTable]:
    for stage, of_stage in source.frame.mixes.items():
        title = source.specification.stage_rule(stage).title
        rows = tuple(_row(source, citing, mix, sets) for mix in of_stage)
        kg = number_text(sum(mix.body.kg for mix in of_stage))
        yield MixTable(caption=f"{title}: {_mixes_text(len(rows))}, {kg} kg", rows=rows)


def _mixes_text(count: int) -> str:
    return "1 mix" if count == 1 else f"{count} mixes"


def _row(source: PackSource, citing: Citing, mix: Recorded[Mix], sets: Sets) -> MixRow:
    body = mix.body
    findings = sets.get((body.stage, body.mix), ())
    by_check = {found.check: found for found in findings}
    return MixRow(
        mix=body.mix,
        cited=citing.recorded(mix).text,
        kg=number_text(body.kg),
        catalyst_ml=number_text(body.catalyst_ml),
        dose=number_text(mix_dose_ml_per_kg(body)),
        chart=f"{_target(source, body)}, {_band(by_check.get(DOSE))}",
        deck_c=number_text(body.deck_c),
        stirred=f"{_or_nothing(body.stirred_before_s)} / {_or_nothing(body.stirred_after_s)}",
        emptied=_emptied(by_check.get(USED_IN_TIME)),
        lots=f"{body.lot}, {body.catalyst_lot}{_days_left(by_check.get(IN_DATE))}",
        place=_place(source, body),
        verdict=said_of_set(findings),
        apart=is_apart(findings),
        findings=len(findings),
    )


def _or_nothing(value: float | None) -> str:
    return NOTHING if value is None else number_text(value)


def _place(source: PackSource, mix: Mix) -> str:
    bays = f": {bay_runs(mix.bays)}" if mix.bays else ""
    return f"{area_label(source, mix.area)}{bays}"


def _days_left(found: Finding | None) -> str:
    if found is None or found.value is None:
        return ""
    return f"; {number_text(found.value)}\u00a0d"


def _target(source: PackSource, mix: Mix) -> str:
    specification = source.specification
    is_coat = is_topcoat(source.frame, mix)
    sourced = specification.topcoat_dose if is_coat else specification.resin_dose
    row = sourced.chart.row_at(mix.deck_c)
    return NOTHING if row is None else number_text(row.target_ml_per_kg)


def _band(found: Finding | None) -> str:
    if found is None or found.lower is None or found.upper is None:
        return "do not mix"
    return f"{number_text(found.lower)} to {number_text(found.upper)}"


def _emptied(found: Finding | None) -> str:
    """Minutes used of the minutes estimated: "22 of 28"."""
    if found is None or found.value is None:
        return NOTHING
    value = number_text(found.value, 3)
    return value if found.upper is None else f"{value} of {number_text(found.upper, 3)}"


def _panels(source: PackSource, sets: Sets) -> Iterator[DosePanel]:
    """One panel for each material that was mixed, bandage and laminate on the resin's chart."""
    specification = source.specification
    ordered = [mix for of_stage in source.frame.mixes.values() for mix in of_stage]
    for title, sourced, is_coat in (
        ("Resin", specification.resin_dose, False),
        ("Topcoat", specification.topcoat_dose, True),
    ):
        of_chart = [m for m in ordered if is_topcoat(source.frame, m.body) is is_coat]
        if of_chart:
            dosed = tuple(_dosed(mix, sets) for mix in of_chart)
            yield DosePanel(title=title, chart=sourced.chart, mixes=dosed)


def _dosed(mix: Recorded[Mix], sets: Sets) -> DosedMix:
    found = next(
        (f for f in sets.get(_key(mix.body.stage, mix.body.mix), ()) if f.check == DOSE), None
    )
    return DosedMix(
        key=mix.body.mix,
        deck_c=mix.body.deck_c,
        dose_ml_per_kg=mix_dose_ml_per_kg(mix.body),
        is_outside=found is not None and found.verdict is Verdict.OUTSIDE,
    )


def _key(stage: Stage, mix: str) -> tuple[object, ...]:
    return (stage, mix)

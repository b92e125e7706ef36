"""What was laid against what was expected: by area, by group of bays, and the share of glass."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.consumption import (
    GLASS,
    LAMINATE,
    TOPCOAT,
    BayGroup,
    bay_groups,
    expected_kg_per_m2,
    laid_on,
)
from qa.assess.finding import Finding
from qa.assess.wording import limits_text
from qa.packs.drawing.consumption_chart import (
    ConsumptionChart,
    ConsumptionRow,
    ConsumptionSection,
    draw_consumption_chart,
)
from qa.packs.drawing.shared_names import shared_start
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart, said
from qa.packs.warranty.citing import area_label
from qa.packs.warranty.found import NOTHING
from qa.trade.bay_runs import bay_runs
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import number_text, quantity_text
from qa.trade.vocabulary import Stage

_TITLES = {LAMINATE: "Resin in the laminate", TOPCOAT: "Topcoat"}
_STAGES = {LAMINATE: Stage.LAMINATE, TOPCOAT: Stage.TOPCOAT}


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """What was laid on an area, or on a group of its bays.

    Attributes:
        where: the area, or mixes and bays of the group.
        is_part: whether it is a group of bays of the area above.
        remark: how the mass was found.
    """

    where: str
    is_part: bool
    kg: str
    laid_m2: str
    rate: str
    expected: str
    accepted: str
    verdict: Said
    remark: str
    apart: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RateTable:
    """The rates of one material."""

    caption: str
    rows: tuple[RateRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassFinding:
    """The share of glass in an area's laminate."""

    area: str
    verdict: Said
    exact: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumption:
    """What the chapter shows."""

    charts: tuple[Markup, ...]
    tables: tuple[RateTable, ...]
    glass: tuple[GlassFinding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rate:
    """A finding on a rate with what it is about."""

    found: Finding
    where: str
    kg: float | None
    laid_m2: float
    expected: float
    is_part: bool
    remark: str


def consumption(source: PackSource) -> Consumption:
    """Consumption of the whole job."""
    rates = {check: tuple(_rates(source, check)) for check in (LAMINATE, TOPCOAT)}
    return Consumption(
        charts=draw_consumption_chart(
            ConsumptionChart(
                sections=tuple(
                    ConsumptionSection(title=_TITLES[check], rows=tuple(map(_chart_row, of_check)))
                    for check, of_check in rates.items()
                )
            )
        ),
        tables=tuple(
            RateTable(caption=_TITLES[check], rows=tuple(map(_row, of_check)))
            for check, of_check in rates.items()
            if of_check
        ),
        glass=tuple(_glass(source)),
    )


def _rates(source: PackSource, check: str) -> Iterator[_Rate]:
    frame, stage = source.frame, _STAGES[check]
    for key, area in frame.areas.items():
        expected = expected_kg_per_m2(frame, stage, area)
        groups = {group.subject: group for group in bay_groups(frame, stage, key)}
        laid = laid_on(frame, stage, key)
        for found in _of(source, check, key):
            group = groups.get(found.subject or "")
            is_part = group is not None and group.laid_m2 is not None
            yield _Rate(
                found=found,
                where=_group_text(group) if group else area.body.name,
                kg=group.kg if group else laid.kg,
                laid_m2=group.laid_m2 if group and group.laid_m2 is not None else area.laid_m2,
                expected=expected,
                is_part=is_part,
                remark="" if group else laid.remark,
            )


def _of(source: PackSource, check: str, area: str) -> Sequence[Finding]:
    return [f for f in source.assessment.findings if f.check == check and f.area == area]


def _group_text(group: BayGroup) -> str:
    """Its bays and mixes: "r3b1–r3b7 (mix-11, 12, 16)"."""
    first, *more = group.subject.split("+")
    shared = shared_start([first, *more])
    mixes = ", ".join([first, *(key.removeprefix(shared) for key in more)])
    return f"{bay_runs(group.bays)} ({mixes})"


def _row(rate: _Rate) -> RateRow:
    found = rate.found
    return RateRow(
        where=rate.where,
        is_part=rate.is_part,
        kg=NOTHING if rate.kg is None else quantity_text(rate.kg, "kg"),
        laid_m2=quantity_text(rate.laid_m2, "m2"),
        rate=NOTHING if found.value is None else f"{found.value:.2f}",
        expected=number_text(rate.expected),
        accepted=limits_text(Limits(lower=found.lower, upper=found.upper), None),
        verdict=said(found),
        remark=rate.remark,
        apart=is_apart([found]),
    )


def _chart_row(rate: _Rate) -> ConsumptionRow:
    found = rate.found
    return ConsumptionRow(
        name=rate.where,
        kg_per_m2=found.value,
        expected_kg_per_m2=rate.expected,
        lower_kg_per_m2=found.lower or 0.0,
        # A band without an upper end is drawn as far as twice the expectation.
        upper_kg_per_m2=2 * rate.expected if found.upper is None else found.upper,
        verdict=said(found).word,
        is_outside=found.verdict is Verdict.OUTSIDE,
        is_part=rate.is_part,
        expanded_uncertainty=found.expanded_uncertainty,
    )


def _glass(source: PackSource) -> Iterator[GlassFinding]:
    for found in source.assessment.findings:
        if found.check == GLASS:
            yield GlassFinding(
                area=area_label(source, found.area) or NOTHING,
                verdict=said(found),
                exact=found.exact,
            )

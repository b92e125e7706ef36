"""The specification that was used: every limit, chart and figure with its basis and its source."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

from qa.assess.wording import limits_text
from qa.packs.drawing.edge_lines import EDGE_WORDS
from qa.packs.source import PackSource
from qa.packs.warranty.found import NOTHING
from qa.specification.model import (
    Check,
    Figure,
    Figures,
    Sourced,
    SourcedChart,
    SourcedGelModel,
    UncertaintyFigures,
)
from qa.trade.catalyst import DoseRow
from qa.trade.conformity import DecisionRule
from qa.trade.gel_time import GelDomain
from qa.trade.notation import number_text, quantity_text

_FIGURE_WORDS = {
    "resin_to_glass": "resin to glass, by mass",
    "deck_uptake_kg_per_m2": "resin that the deck takes up",
    "topcoat_kg_per_m2": "topcoat, expected",
    "glass_g_per_cm3": "density of glass",
    "cured_resin_g_per_cm3": "density of cured resin",
    "topcoat_g_per_cm3": "density of topcoat",
    "catalyst_g_per_ml": "density of catalyst where the lot gives none",
    "bandage_width_mm": "width of bandage",
    "bandage_g_per_m2": "mass of bandage",
    "mat_width_m": "width of the mat",
    "mat_overlap_m": "overlap of strips of mat in the bay plan",
    "bay_length_m": "length of a bay",
    "cure_doubling_k": "warming that doubles the rate of cure",
    "cure_floor_c": "temperature below which nothing cures",
    "cure_reference_c": "temperature at which equivalent hours count",
    "cure_longest_gap_h": "longest gap between readings that the cure clock bridges",
    "stir_after_topcoat_s": "least stirring of topcoat after dosing",
    "topcoat_clock_hours": "longest time from laminate to topcoat",
    "reading_holds_h": "how long a reading of the conditions holds",
    "mass_kg": "one weighing",
    "catalyst_ml": "one dose of catalyst",
    "outline_m": "one length of an outline or an upstand",
    "bay_edge_m": "the place where the work of one mix ended",
    "mat_pct": "the mass of a square metre of mat",
    "level_mm": "the height of one surveyed level",
}
_RULES = {
    DecisionRule.SIMPLE: "simple acceptance (JCGM 106:2012): the value alone is compared with its "
    "limits; a value on a limit is within.",
    DecisionRule.GUARDED: "guarded acceptance (JCGM 106:2012): the value must keep its limits by "
    "its whole expanded uncertainty; where the limit lies inside it, the verdict is undecided.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcedRow:
    """One limit or figure.

    Attributes:
        rests_on: its basis, and the number of its source in the list of sources.
    """

    what: str
    asked: str
    rests_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """One row of a dose chart; doses in ml per kg."""

    deck_c: str
    target: str
    band: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartTable:
    """A dose chart with its source."""

    title: str
    basis: str
    source: str
    rows: tuple[ChartRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GelTime:
    """How gel times were estimated: the fitted formula, where it holds, and its source."""

    formula: str
    fitted: str
    holds: str
    basis: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecificationUsed:
    """What the chapter shows.

    Attributes:
        sources: the sentences that name the sources, whole, in the order of their first use.
    """

    facts: tuple[tuple[str, str], ...]
    checks: tuple[SourcedRow, ...]
    charts: tuple[ChartTable, ...]
    gel: GelTime
    figures: tuple[SourcedRow, ...]
    sources: tuple[str, ...]


def specification_used(source: PackSource) -> SpecificationUsed:
    """The specification that the job pins."""
    used, sources = source.specification, _Sources()
    checks = tuple(_check_row(check, sources) for check in used.checks.values())
    figures = tuple(_figure_rows(source, sources))
    return SpecificationUsed(
        facts=(
            ("Name and version", used.name),
            ("Title", used.title),
            ("Says of itself", used.note),
            ("Decision rule", _RULES[used.rule]),
            ("SHA-256 of its file", used.sha256),
        ),
        checks=checks,
        charts=(
            _chart("Dose of catalyst in resin", used.resin_dose),
            _chart("Dose of catalyst in topcoat", used.topcoat_dose),
        ),
        gel=_gel(used.gel_time),
        figures=figures,
        sources=sources.sentences,
    )


class _Sources:
    """Numbers the sentences that name sources, each once."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    @property
    def sentences(self) -> tuple[str, ...]:
        return tuple(self._numbers)

    def cite(self, sourced: Sourced) -> str:
        """The basis with the number of the source: "published, 4"."""
        number = self._numbers.setdefault(sourced.source, len(self._numbers) + 1)
        return f"{sourced.basis}, {number}"


def _check_row(check: Check, sources: _Sources) -> SourcedRow:
    what = f"{check.quantity} ({check.key})"
    return SourcedRow(what=what, asked=_asked(check), rests_on=sources.cite(check))


def _asked(check: Check) -> str:
    limits = limits_text(check.limits, check.unit)
    if limits:
        return limits
    if check.below_pct is not None or check.above_pct is not None:
        below = None if check.below_pct is None else f"−{number_text(check.below_pct)} %"
        above = None if check.above_pct is None else f"+{number_text(check.above_pct)} %"
        return "expected " + " / ".join(part for part in (below, above) if part)
    if check.expects is not None:
        return "yes" if check.expects else "no"
    return "by chart or figure below" if check.unit else NOTHING


def _chart(title: str, sourced: SourcedChart) -> ChartTable:
    return ChartTable(
        title=title,
        basis=sourced.basis,
        source=sourced.source,
        rows=tuple(_chart_row(row) for row in sourced.chart.rows),
    )


def _chart_row(row: DoseRow) -> ChartRow:
    end = "up to" if row.includes_to else "to below"
    return ChartRow(
        deck_c=f"from {number_text(row.from_c)} {end} {number_text(row.to_c)} °C",
        target=number_text(row.target_ml_per_kg),
        band=f"{number_text(row.lower_ml_per_kg)} to {number_text(row.upper_ml_per_kg)}",
    )


def _gel(sourced: SourcedGelModel) -> GelTime:
    model = sourced.model
    return GelTime(
        formula=f"ln(minutes) = {_signed(model.intercept)} {_signed(model.per_k)} × °C "
        f"{_signed(model.per_ln_dose)} × ln(ml/kg)",
        fitted=_range_text(model.table),
        holds=_range_text(model.domain),
        basis=sourced.basis,
        source=sourced.source,
    )


def _signed(value: float) -> str:
    return f"− {abs(value):.4f}" if value < 0 else f"{value:.4f}"


def _range_text(domain: GelDomain) -> str:
    return (
        f"{number_text(domain.from_c)} to {number_text(domain.to_c)} °C and "
        f"{number_text(domain.from_ml_per_kg)} to {number_text(domain.to_ml_per_kg)} ml/kg"
    )


def _figure_rows(source: PackSource, sources: _Sources) -> Iterator[SourcedRow]:
    used = source.specification
    for field in dataclasses.fields(Figures):
        figure: Figure = getattr(used.figures, field.name)
        yield _figure_row(_words(field.name), figure, sources)
    for field in dataclasses.fields(UncertaintyFigures):
        spread: Figure = getattr(used.uncertainty, field.name)
        what = f"uncertainty, k = 2, of {_words(field.name)}, where no instrument tells it"
        yield _figure_row(what, spread, sources)
    for kind, battens in used.battens.items():
        yield _figure_row(f"battens behind a {EDGE_WORDS[kind]}", battens, sources)


def _figure_row(what: str, figure: Figure, sources: _Sources) -> SourcedRow:
    asked = quantity_text(figure.value, figure.unit)
    return SourcedRow(what=what, asked=asked, rests_on=sources.cite(figure))


def _words(name: str) -> str:
    """What a figure is called; one that has no words yet goes by its key."""
    return _FIGURE_WORDS.get(name, name.replace("_", " "))

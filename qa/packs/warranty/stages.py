"""Stage by stage: every check with value, limits, basis, verdict, time and person.

A check that is judged for every mix, reading or bay takes one row here, with its range and its
count; each single finding of it stands in the chapter of that subject.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding, StageOutcome
from qa.assess.frame import grouped
from qa.packs.source import PackSource
from qa.packs.verdicts import is_apart, said_of_all, status_text
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.families import Family, family_of
from qa.packs.warranty.found import NOTHING, FoundRow, asked_text, found_rows
from qa.specification.model import StageRule
from qa.trade.notation import number_text, quantity_text

_ELSEWHERE = {
    Family.MIX: "each mix in chapter",
    Family.CONDITIONS: "each one in chapter",
    Family.BAY: "each bay in chapter",
}
_OF_ANY = ("stage.", "record.")
"""Checks of any stage; they stand after those of the stage itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageStory:
    """One stage: how it stands, and its checks."""

    key: str
    title: str
    status: str
    asks: str
    rows: tuple[FoundRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stages:
    """What the chapter shows."""

    stages: tuple[StageStory, ...]


def stages(source: PackSource, citing: Citing, numerals: Mapping[Family, int]) -> Stages:
    """All stages in the order of the work.

    Args:
        source: the pack's source.
        citing: how entries are cited.
        numerals: the number of the chapter that shows each family.
    """
    return Stages(
        stages=tuple(
            _story(source, citing, outcome, numerals) for outcome in source.assessment.stages
        )
    )


def _story(
    source: PackSource, citing: Citing, outcome: StageOutcome, numerals: Mapping[Family, int]
) -> StageStory:
    findings = source.assessment.of_stage(outcome.stage)
    rule = source.specification.stage_rule(outcome.stage)
    return StageStory(
        key=f"stage-{outcome.stage}",
        title=rule.title,
        status=_status(outcome, rule, findings),
        asks=_asks(rule),
        rows=tuple(_rows(source, citing, findings, numerals)),
    )


def _status(outcome: StageOutcome, rule: StageRule, findings: Sequence[Finding]) -> str:
    told = status_text(outcome.status, findings)
    told = told[0].upper() + told[1:]
    if not rule.hold_point:
        return f"{told}. Not a hold point."
    return f"{told}. Hold point, {'released' if outcome.released else 'not released'}."


def _asks(rule: StageRule) -> str:
    """The photos that the stage asks for, as its check does not name them."""
    asked = "; ".join(request.text for request in rule.photos)
    return f"Photographs asked for: {asked}." if asked else "No photographs are asked for."


def _rows(
    source: PackSource,
    citing: Citing,
    findings: Sequence[Finding],
    numerals: Mapping[Family, int],
) -> Iterator[FoundRow]:
    order = {key: place for place, key in enumerate(source.specification.checks)}
    ordered = sorted(findings, key=lambda f: (f.check.startswith(_OF_ANY), order[f.check]))
    for of_check in grouped(ordered, lambda found: (found.check, family_of(found))).values():
        family = family_of(of_check[0])
        if family is None:
            yield from found_rows(source, citing, of_check)
        else:
            yield _family_row(source, of_check, f"{_ELSEWHERE[family]} {numerals[family]}")


def _family_row(source: PackSource, findings: Sequence[Finding], elsewhere: str) -> FoundRow:
    """One row for a check that is judged many times; its findings are shown elsewhere."""
    check = source.specification.checks[findings[0].check]
    limits = {asked_text(found, check) for found in findings}
    bases = {found.basis.value for found in findings}
    return FoundRow(
        check=check.quantity,
        found=_range(findings),
        limits=limits.pop() if len(limits) == 1 else "by the case",
        basis=", ".join(sorted(bases)),
        verdict=said_of_all(findings),
        cited=(elsewhere,),
        apart=is_apart(findings),
        findings=0,
    )


def _range(findings: Sequence[Finding]) -> str:
    values = [found.value for found in findings if found.value is not None]
    if not values:
        return NOTHING
    low, high, unit = min(values), max(values), findings[0].unit
    if low == high:
        return quantity_text(low, unit)
    return f"{number_text(low)} to {quantity_text(high, unit)}"

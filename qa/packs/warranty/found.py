"""A finding's parts as a table prints them: what was judged, where, value, limits, verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from qa.assess.cure import CLOCK
from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.assess.wording import limits_text
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart, said, said_of_all, standing_of
from qa.packs.warranty.citing import Citing, area_label
from qa.specification.model import Check
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import number_text, quantity_text
from qa.trade.uncertainty import rounded_uncertainty

NOTHING = "–"
"""Stands where there is no value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRow:
    """One row of a table of findings: one, or several that differ in nothing but their place.

    Attributes:
        check: what was judged, for an expert.
        found: the value with its unit and uncertainty.
        limits: the limits that applied.
        basis: what the limits rest on.
        verdict: how it stands, counted where there are several.
        cited: for each finding its place, and time, person and number of the entry.
        apart: whether the row is set apart.
        findings: how many findings the row shows.
    """

    check: str
    found: str
    limits: str
    basis: str
    verdict: Said
    cited: tuple[str, ...]
    apart: bool
    findings: int


def found_rows(
    source: PackSource, citing: Citing, findings: Iterable[Finding]
) -> Iterator[FoundRow]:
    """The rows of findings of one check, in their order."""
    for alike in grouped(findings, partial(_shown, source)).values():
        found, *more = alike
        check = source.specification.checks[found.check]
        yield FoundRow(
            check=_quantity(found, check),
            found=value_text(found, check),
            limits=asked_text(found, check),
            basis=found.basis,
            verdict=said_of_all(alike) if more else said(found),
            cited=tuple(_cited(source, citing, one) for one in alike),
            apart=is_apart(alike),
            findings=len(alike),
        )


def _quantity(found: Finding, check: Check) -> str:
    """What was judged; the interval before the topcoat has a second limit, by the clock."""
    if found.subject == CLOCK:
        return "clock hours from the last laminate mix to the first topcoat mix"
    return check.quantity


def _shown(source: PackSource, found: Finding) -> tuple[object, ...]:
    """All that a row shows of a finding but its place."""
    check = source.specification.checks[found.check]
    shown = value_text(found, check), asked_text(found, check), found.basis
    return (found.check, *shown, standing_of(found))


def _cited(source: PackSource, citing: Citing, found: Finding) -> str:
    place, cited = place_text(source, citing, found), citing.finding(found)
    if cited is None:
        return place or NOTHING
    return f"{place}: {cited.text}" if place else cited.text


def value_text(found: Finding, check: Check) -> str:
    """What was found, with unit and expanded uncertainty: "14.5 ± 0.5 %"."""
    if found.value is not None:
        if found.expanded_uncertainty:
            spread = quantity_text(rounded_uncertainty(found.expanded_uncertainty), found.unit)
            return f"{number_text(found.value)} ± {spread}"
        return quantity_text(found.value, found.unit)
    if check.expects is None or found.verdict not in (Verdict.WITHIN, Verdict.OUTSIDE):
        return NOTHING
    is_good = found.verdict is Verdict.WITHIN
    return "yes" if is_good is check.expects else "no"


def asked_text(found: Finding, check: Check) -> str:
    """The limits that applied: "at most 18 %", or the answer that was asked for."""
    asked = limits_text(Limits(lower=found.lower, upper=found.upper), found.unit)
    if check.expects is None or (asked and found.value is not None):
        return asked or NOTHING
    answer = "yes" if check.expects else "no"
    return f"{answer}; measured, {asked}" if asked else answer


def place_text(source: PackSource, citing: Citing, found: Finding) -> str:
    """Where and on what: "Main roof, r2b3, mix-4"."""
    parts = [area_label(source, found.area), found.bay]
    if found.subject is not None:
        is_entry = citing.is_entry(found.subject)
        named = f"entry {citing.entry(found.subject).number}" if is_entry else found.subject
        parts.append(named.replace("+", ", "))
    return ", ".join(part for part in parts if part)

"""A finding's parts as a table prints them: what was judged, where, value, limits, verdict."""

from __future__ import annotations

from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.wording import limits_text
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart, said
from qa.packs.warranty.citing import Citing
from qa.specification.model import Check
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import quantity_text

NOTHING = "–"
"""Stands where there is no value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRow:
    """One row of a table of findings.

    Attributes:
        check: what was judged, for an expert.
        place: area, bay, subject; empty for the job as a whole.
        found: the value with its unit and uncertainty.
        limits: the limits that applied.
        basis: what the limits rest on.
        verdict: how it stands.
        cited: time, person and number of the entry that it rests on.
        apart: whether the row is set apart.
        findings: how many findings the row shows.
    """

    check: str
    place: str
    found: str
    limits: str
    basis: str
    verdict: Said
    cited: str
    apart: bool
    findings: int = 1


def found_row(source: PackSource, citing: Citing, found: Finding) -> FoundRow:
    """The row of one finding."""
    check = source.specification.checks[found.check]
    cited = citing.finding(found)
    return FoundRow(
        check=check.quantity,
        place=place_text(source, citing, found),
        found=value_text(found, check),
        limits=asked_text(found, check),
        basis=found.basis.value,
        verdict=said(found),
        cited=cited.text if cited else NOTHING,
        apart=is_apart([found]),
    )


def value_text(found: Finding, check: Check) -> str:
    """What was found, with unit and expanded uncertainty: "14.5 ± 0.5 %"."""
    if found.value is not None:
        text = quantity_text(found.value, found.unit)
        if found.expanded_uncertainty:
            text += f" ± {quantity_text(found.expanded_uncertainty, found.unit)}"
        return text
    if check.expects is None or found.verdict not in (Verdict.WITHIN, Verdict.OUTSIDE):
        return NOTHING
    is_good = found.verdict is Verdict.WITHIN
    return "yes" if is_good is check.expects else "no"


def asked_text(found: Finding, check: Check) -> str:
    """The limits that applied: "at most 18 %", or the answer that was asked for."""
    asked = limits_text(Limits(lower=found.lower, upper=found.upper), found.unit)
    if asked or check.expects is None:
        return asked or NOTHING
    return "yes" if check.expects else "no"


def place_text(source: PackSource, citing: Citing, found: Finding) -> str:
    """Where and on what: "Main roof, r2b3, mix-4"."""
    parts = [source.frame.area_name(found.area), found.bay]
    if found.subject is not None:
        is_entry = citing.is_entry(found.subject)
        named = f"entry {citing.entry(found.subject).number}" if is_entry else found.subject
        parts.append(named.replace("+", ", "))
    return ", ".join(part for part in parts if part)

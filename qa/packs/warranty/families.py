"""Findings that come in sets, several on one entry: a mix's, a reading's, a bay's.

A roof has hundreds of them. Each set is one row in the chapter of its subject, with every value and
every verdict; the stage's table names the check once and how many findings it has.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum

from qa.assess import conditions, examinations, mixes
from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.packs.verdicts import Said, Standing, said_of_all, standing_of

SHORT_NAMES: Mapping[str, str] = {
    mixes.DOSE: "dose",
    mixes.IN_DATE: "use-by date",
    mixes.STIR_BEFORE: "stirred before",
    mixes.STIR_AFTER: "stirred after",
    mixes.USED_IN_TIME: "used in time",
    mixes.TRACEABLE: "traceable",
    conditions.DECK: "deck",
    conditions.AIR: "air",
    conditions.HUMIDITY: "humidity",
    conditions.MARGIN: "dew margin",
    examinations.WET_OUT: "wet-out",
    examinations.PINHOLES: "pinholes",
    examinations.TRAPPED_AIR: "trapped air",
    examinations.PASSES: "passes",
    examinations.THICKNESS: "thickness",
}
"""What a check is called in a row that holds several."""

_CONDITIONS = (conditions.DECK, conditions.AIR, conditions.MARGIN, conditions.HUMIDITY)
_BAY = (
    examinations.WET_OUT,
    examinations.PINHOLES,
    examinations.TRAPPED_AIR,
    examinations.PASSES,
    examinations.THICKNESS,
)


class Family(StrEnum):
    """The sets; the value is the key of the chapter that shows them."""

    MIX = "mixes"
    CONDITIONS = "conditions"
    BAY = "bays"


def family_of(found: Finding) -> Family | None:
    """The set that a finding belongs to, or None for one with a row of its own."""
    if found.check in mixes.CHECKS and found.subject is not None:
        return Family.MIX
    if found.check in _CONDITIONS and found.subject is not None:
        return Family.CONDITIONS
    if found.check in _BAY and found.bay is not None and found.entries:
        return Family.BAY
    return None


def sets_of(
    findings: Iterable[Finding], family: Family
) -> Mapping[tuple[object, ...], Sequence[Finding]]:
    """The findings of a family by what one row is about.

    Mixes and readings by stage and subject; bays by area, bay and examination.
    """
    of_family = (found for found in findings if family_of(found) is family)
    if family is Family.BAY:
        return grouped(of_family, lambda found: (found.area, found.bay, found.entries[0]))
    return grouped(of_family, lambda found: (found.stage, found.subject))


def said_of_set(findings: Sequence[Finding]) -> Said:
    """How a set stands: all within by their number, what is not within by name.

    "6 within", or "outside: dose; 5 within".
    """
    by_standing = grouped(findings, standing_of)
    others = [standing for standing in Standing if standing in by_standing]
    if others in ([], [Standing.WITHIN]):
        return said_of_all(findings)
    parts = [
        f"{standing.word}: {', '.join(SHORT_NAMES[found.check] for found in by_standing[standing])}"
        for standing in others
        if standing is not Standing.WITHIN
    ]
    if Standing.WITHIN in by_standing:
        parts.append(f"{len(by_standing[Standing.WITHIN])} within")
    worst = others[0]
    told = "; ".join(parts)
    return Said(mark=worst.value, word=worst.word, rest=told.removeprefix(worst.word))

"""Whether a reading of weather and deck allows laying: one word, and why not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from qa.assess.answers import MOISTURE
from qa.assess.conditions import AIR, DECK, HUMIDITY, MARGIN
from qa.assess.finding import Finding
from qa.assess.wording import limits_text
from qa.record.job import Recorded
from qa.record.kinds.readings import Conditions
from qa.specification.model import Check, Specification
from qa.trade.conformity import Verdict
from qa.trade.notation import quantity_text

ASKED = (DECK, AIR, HUMIDITY, MARGIN)
"""The checks that must be within limits before anything is laid."""
RAIN = "it is raining"


class Laying(StrEnum):
    """The answer."""

    LAY = "Lay"
    DO_NOT = "Do not lay"
    UNKNOWN = "Not decided"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayAnswer:
    """The answer, and what speaks against laying or keeps it from being decided.

    Attributes:
        reasons: parts of a sentence, such as "it is raining".
    """

    answer: Laying
    reasons: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        """The whole answer: "Do not lay, because it is raining."."""
        if not self.reasons:
            return f"{self.answer.value}."
        return f"{self.answer.value}, because {'; '.join(self.reasons)}."


def lay_answer(
    specification: Specification, reading: Recorded[Conditions], findings: Iterable[Finding]
) -> LayAnswer:
    """The answer that a reading gives by the specification's limits.

    Args:
        specification: the one that the job pins.
        reading: the reading.
        findings: of the job's assessment, or those of the reading's receipt.
    """
    of_reading = {found.check: found for found in findings if _is_of(found, reading)}
    against = [*_against(of_reading.values(), reading)]
    if against:
        return LayAnswer(answer=Laying.DO_NOT, reasons=tuple(against))
    open_ends = [
        _open_end(specification.checks[key], of_reading.get(key))
        for key in ASKED
        if key not in of_reading or of_reading[key].verdict is not Verdict.WITHIN
    ]
    if open_ends:
        return LayAnswer(answer=Laying.UNKNOWN, reasons=tuple(open_ends))
    return LayAnswer(answer=Laying.LAY)


def _is_of(found: Finding, reading: Recorded[Conditions]) -> bool:
    is_about_it = found.subject == reading.id or found.check == MOISTURE
    return is_about_it and reading.id in found.entries


def _against(findings: Iterable[Finding], reading: Recorded[Conditions]) -> Iterator[str]:
    if reading.body.rain:
        yield RAIN
    for found in findings:
        if found.verdict is Verdict.OUTSIDE and found.value is not None:
            yield against_text(found.telling.check, found.value)


def against_text(check: Check, value: float) -> str:
    """What speaks against laying, in the words of the check."""
    found = quantity_text(value, check.unit, 3)
    return f"the {check.quantity} is {found}, not {limits_text(check.limits, check.unit)}"


def _open_end(check: Check, found: Finding | None) -> str:
    if found is None or found.value is None:
        return f"the {check.quantity} is not known"
    return f"the {check.quantity} lies within its uncertainty of the limit"

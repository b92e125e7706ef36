"""Small records of one firm's jobs, to be set beside each other; all of it is invented.

    comparison = compared(*(dosed(n, errors_pct) for n, errors_pct in enumerate(weeks)))
    only_group(comparison, Quantity.DOSE_ERROR).facts

Job n is J-n and begins n weeks after the first; a deck of 14 °C asks for 30 ml/kg.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from qa.assess.across import Comparison, FactGroup, Grouping, compare
from qa.assess.assessment import assess
from qa.assess.fact import JobFacts, Quantity
from qa.assess.gleaning import glean
from qa.record.job import Job, fold
from qa.specification.model import Specification
from tests.factories import FIRST_MORNING, LOTS, RecordBuilder
from tests.unit.assess.sound_job import CREW, GENERAL

TARGET_ML_PER_KG = 30.0

STEADY = (0.5, -0.4, 0.2, -0.6, 0.7, -0.1, 0.3, -0.5, 0.4, -0.3, 0.1, -0.2)
"""Dose errors, %, that no rule finds fault with."""

DRIFTING = (0.5, -0.4, 0.2, -0.6, 0.7, -0.1, 1.5, 2.4, 3.9, 5.2, 6.8, 8.1)
"""The same crew, whose jug leaks from its seventh mix on."""


def opened(number: int, *, batch: str = "R 1204", **job: Any) -> RecordBuilder:
    """Job J-number with its area, its lots and a crew of three."""
    builder = RecordBuilder.opened(
        **({"job": f"J-{number}", "crew": CREW} | job),
        start=FIRST_MORNING + timedelta(weeks=number),
        series=number,
    )
    builder.add("area")
    for lot in LOTS:
        own = {"batch_number": batch} if lot["lot"] == "resin-1" else {}
        builder.add("lot", **(lot | own))
    return builder


def dosed(number: int, errors_pct: Sequence[float], **opening: Any) -> RecordBuilder:
    """A job with one mix of 5 kg for each error."""
    builder = opened(number, **opening)
    add_mixes(builder, errors_pct)
    return builder


def add_mixes(builder: RecordBuilder, errors_pct: Sequence[float], **mix: Any) -> None:
    """Adds a mix of 5 kg for each error."""
    for error_pct in errors_pct:
        catalyst_ml = 5 * TARGET_ML_PER_KG * (1 + error_pct / 100)
        builder.add("mix", **({"kg": 5, "catalyst_ml": catalyst_ml} | mix))


def told(job: RecordBuilder | Job, specification: Specification = GENERAL) -> JobFacts:
    """What a job has to tell."""
    folded = job.job() if isinstance(job, RecordBuilder) else job
    return glean(folded, specification, assess(folded, specification))


def compared(
    *jobs: RecordBuilder | JobFacts, by: Grouping = Grouping.TOGETHER, least_points: int = 8
) -> Comparison:
    """The jobs beside each other."""
    facts = (told(job) if isinstance(job, RecordBuilder) else job for job in jobs)
    return compare(facts, by=by, least_points=least_points)


def sealed(builder: RecordBuilder, delay: timedelta) -> Job:
    """The job as a ledger took it in."""
    return fold(builder.sealed(delay=delay))


def groups_of(comparison: Comparison, quantity: Quantity) -> list[FactGroup]:
    """The groups of one quantity."""
    return [group for group in comparison.groups if group.quantity is quantity]


def only_group(comparison: Comparison, quantity: Quantity) -> FactGroup:
    """The one group of a quantity."""
    (group,) = groups_of(comparison, quantity)
    return group

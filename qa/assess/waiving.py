"""Checks of which nothing was recorded, because a person wrote that they do not apply.

People answer some checks themselves; there the answer is a reading like any other. This is for the
rest, which the assessment reckons: an answer turns silence into “not applicable”, and never speaks
against what the record does tell.
"""

from __future__ import annotations

from collections.abc import Iterable

from qa.assess.answers import Reading
from qa.assess.finding import Finding
from qa.assess.frame import Frame
from qa.assess.judging import finding
from qa.record.kinds.readings import Result
from qa.trade.conformity import Verdict


def waiver_of(found: Finding, answers: Iterable[Reading]) -> Reading | None:
    """The last answer that a check does not apply to what a finding is about, or None.

    Args:
        found: a finding of nothing recorded.
        answers: the readings of its check, in order of time.
    """
    waivers = [
        answer
        for answer in answers
        if answer.result is Result.NOT_APPLICABLE
        and answer.stage is found.stage
        and answer.area in (None, found.area)
        and answer.bay in (None, found.bay)
        and answer.edge in (None, found.subject)
    ]
    return waivers[-1] if waivers else None


def not_applicable(frame: Frame, found: Finding, waiver: Reading) -> Finding:
    """A finding of nothing recorded as one that does not apply, for the reason written."""
    return finding(
        frame,
        found.check,
        stage=found.stage,
        area=found.area,
        bay=found.bay,
        subject=found.subject,
        verdict=Verdict.NOT_APPLICABLE,
        on=(waiver.on,),
        reason=waiver.reason,
    )

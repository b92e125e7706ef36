"""An assessment as a page of text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from qa.assess.finding import Assessment, Finding, StageStatus
from qa.assess.wording import VERDICT_WORDS
from qa.trade.conformity import Verdict

STATUS_WORDS = {
    StageStatus.WITHIN: "within limits",
    StageStatus.OUTSIDE: "outside limits",
    StageStatus.PUT_RIGHT: "put right",
    StageStatus.CONCEDED: "conceded",
    StageStatus.INCOMPLETE: "incomplete",
}


def count_of(assessment: Assessment, status: StageStatus, stage: str) -> int:
    """How many findings of a stage give it a status: the n of "outside limits (n)"."""
    return sum(
        found.stage == stage and finding_status(found) is status for found in assessment.findings
    )


def finding_status(found: Finding) -> StageStatus:
    """What a single finding would make of its stage."""
    if found.is_open:
        return StageStatus.OUTSIDE
    if found.verdict in (Verdict.NOT_RECORDED, Verdict.UNDECIDED):
        return StageStatus.INCOMPLETE
    if found.conceded:
        return StageStatus.CONCEDED
    return StageStatus.PUT_RIGHT if found.put_right else StageStatus.WITHIN


def summary_text(assessment: Assessment) -> str:
    """How each stage stands, then every finding that is not within its limits."""
    return "\n".join(_lines(assessment)) + "\n"


def _lines(assessment: Assessment) -> Iterator[str]:
    yield f"Job {assessment.job}, judged by {assessment.specification}"
    yield f"Record: {assessment.entries} entries, head {assessment.head}"
    yield ""
    for outcome in assessment.stages:
        words = STATUS_WORDS[outcome.status]
        if outcome.status is not StageStatus.WITHIN:
            words += f" ({count_of(assessment, outcome.status, outcome.stage)})"
        released = "released" if outcome.released else ""
        yield f"{outcome.stage:<12}{words:<22}{released}".rstrip()
    for title, found in _groups(assessment):
        if found:
            yield f"\n{title} ({len(found)})"
            yield from (f"  {_line(finding)}" for finding in found)


def _groups(assessment: Assessment) -> Iterator[tuple[str, list[Finding]]]:
    findings = assessment.findings
    yield "Outside limits", [f for f in findings if f.is_open]
    yield "Conceded", [f for f in findings if f.conceded]
    yield "Put right", [f for f in findings if f.put_right]
    yield "Undecided", [f for f in findings if f.verdict is Verdict.UNDECIDED]
    yield "Not recorded", [f for f in findings if f.verdict is Verdict.NOT_RECORDED]


def _line(found: Finding) -> str:
    place = " ".join(part for part in (found.stage, found.area, found.bay, found.subject) if part)
    told = (
        found.exact if found.verdict is not Verdict.NOT_RECORDED else VERDICT_WORDS[found.verdict]
    )
    return f"{found.check} [{place}]: {told}"

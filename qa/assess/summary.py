"""An assessment as a page of text for a terminal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from qa.assess.finding import Assessment, Finding, StageStatus
from qa.assess.wording import VERDICT_WORDS
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage

STATUS_WORDS = {
    StageStatus.WITHIN: "within limits",
    StageStatus.OUTSIDE: "outside limits",
    StageStatus.PUT_RIGHT: "put right",
    StageStatus.CONCEDED: "conceded",
    StageStatus.INCOMPLETE: "incomplete",
}


def counts(assessment: Assessment) -> Counter[tuple[Stage, StageStatus]]:
    """How many findings of each stage give it each status: the n of "outside limits (n)"."""
    return Counter((found.stage, finding_status(found)) for found in assessment.findings)


def finding_status(found: Finding) -> StageStatus:
    """What a single finding would make of its stage."""
    if found.verdict is not Verdict.OUTSIDE:
        return _STATUS.get(found.verdict, StageStatus.WITHIN)
    if found.conceded:
        return StageStatus.CONCEDED
    return StageStatus.PUT_RIGHT if found.put_right else StageStatus.OUTSIDE


_STATUS = {
    Verdict.NOT_RECORDED: StageStatus.INCOMPLETE,
    Verdict.UNDECIDED: StageStatus.INCOMPLETE,
}


def summary_text(assessment: Assessment) -> str:
    """How each stage stands, then every finding that is not within its limits."""
    return "\n".join(_lines(assessment)) + "\n"


def _lines(assessment: Assessment) -> Iterator[str]:
    yield f"Job {assessment.job}, judged by {assessment.specification}"
    yield f"Record: {assessment.entries} entries, head {assessment.head}"
    yield ""
    number = counts(assessment)
    for outcome in assessment.stages:
        words = STATUS_WORDS[outcome.status]
        if outcome.status is not StageStatus.WITHIN:
            words += f" ({number[outcome.stage, outcome.status]})"
        released = "released" if outcome.released else ""
        yield f"{outcome.stage:<12}{words:<22}{released}".rstrip()
    for title, found in _groups(assessment):
        if found:
            yield f"\n{title} ({len(found)})"
            yield from (f"  {_line(finding)}" for finding in found)


def _groups(assessment: Assessment) -> Iterator[tuple[str, list[Finding]]]:
    findings = [f for f in assessment.findings if f.verdict is not Verdict.WITHIN]
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

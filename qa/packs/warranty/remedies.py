"""What was done about a finding, in one sentence or two, as the record tells it."""

from __future__ import annotations

from collections.abc import Iterator

from qa.assess.finding import Finding
from qa.assess.lateness import TIMELY
from qa.assess.nonconformities import CLOSED, Case, cases
from qa.packs.source import PackSource
from qa.packs.warranty.citing import Citing
from qa.trade.conformity import Verdict

NOTHING_DONE = "Nothing is recorded that was done about it."
STAYS_LATE = "A late entry cannot be put right: it is kept, and marked as late."


class Remedies:
    """Looks up what answers a finding: nonconformities that cover it, and later readings."""

    def __init__(self, source: PackSource, citing: Citing) -> None:
        self._citing = citing
        self._cases = cases(source.job)
        self._within = {
            _place(found): found
            for found in source.assessment.findings
            if found.verdict is Verdict.WITHIN and found.entries
        }

    def told(self, found: Finding) -> str:
        """What was done about a finding."""
        sentences = list(self._sentences(found))
        if found.verdict is Verdict.UNDECIDED and not sentences:
            return "The limit lies inside the uncertainty of the value; no better value followed."
        if found.check == CLOSED and not sentences:
            return self._open_cases() or NOTHING_DONE
        return " ".join(sentences) or (STAYS_LATE if found.check == TIMELY else NOTHING_DONE)

    def _open_cases(self) -> str:
        """Where the course of the open nonconformities is told, which their count follows from."""
        numbers = [str(case.raised.body.number) for case in self._cases if case.is_open]
        noun = "nonconformity" if len(numbers) == 1 else "nonconformities"
        return f"See {noun} {', '.join(numbers)}." if numbers else ""

    def _sentences(self, found: Finding) -> Iterator[str]:
        for case in self._cases:
            if case.covers(found):
                yield case_text(case, self._citing)
        again = self._within.get(_place(found))
        if found.put_right and again is not None:
            cited = self._citing.entry(again.entries[0])
            yield f"Found within limits when looked at again ({cited.text})."


def _place(found: Finding) -> tuple[str, str, str | None, str | None, str | None]:
    return (found.check, found.stage, found.area, found.bay, found.subject)


def case_text(case: Case, citing: Citing) -> str:
    """The course of a nonconformity: raised, decided, closed, each with person and time."""
    number = case.raised.body.number
    parts = [f"Nonconformity {number}, raised {citing.recorded(case.raised).text}"]
    if case.disposition is None:
        parts.append("no supervisor has decided on it")
    else:
        decided = case.disposition
        reason = decided.body.reason.rstrip(".")
        parts.append(f"{decided.body.decision} ({citing.recorded(decided).text}): {reason}")
        parts += [f"{label.lower()}: {words.rstrip('.')}" for label, words in decided.body.terms]
    if case.closure is None:
        parts.append("not closed")
    else:
        closed = case.closure
        statement = closed.body.statement.rstrip(".")
        parts.append(f"closed ({citing.recorded(closed).text}): {statement}")
    return "; ".join(parts) + "."

"""Two judgements of one record beside each other: which findings stand otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.wording import VERDICT_WORDS

NO_FINDING = "no finding"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedFinding:
    """One finding that would be another.

    Attributes:
        check: key of the check.
        stage: of the finding.
        place: area, bay and subject, or nothing.
        before, after: how it stands and would stand, in words.
        exact: the exact sentence under the version that is tried, or as it is now where the
            finding would be gone.
    """

    check: str
    stage: str
    place: str
    before: str
    after: str
    exact: str


def changed_findings(
    before: Iterable[Finding], after: Iterable[Finding]
) -> tuple[ChangedFinding, ...]:
    """What stands otherwise in two judgements of the same record, in the order of the first."""
    old, new = _by_place(before), _by_place(after)
    return tuple(
        _change(old.get(place), new.get(place))
        for place in old | new
        if _state(old.get(place)) != _state(new.get(place))
    )


def _by_place(findings: Iterable[Finding]) -> dict[tuple[object, ...], Finding]:
    """Findings by what they are about; those about the same thing keep their order."""
    seen: Counter[tuple[object, ...]] = Counter()
    placed: dict[tuple[object, ...], Finding] = {}
    for found in findings:
        about = (found.stage, found.check, found.area, found.bay, found.subject)
        placed[(*about, seen[about])] = found
        seen[about] += 1
    return placed


def _change(before: Finding | None, after: Finding | None) -> ChangedFinding:
    either = after or before
    assert either is not None
    bay = f"bay {either.bay}" if either.bay else ""
    return ChangedFinding(
        check=either.check,
        stage=either.stage,
        place=", ".join(filter(None, (either.area, bay, either.subject))),
        before=_state(before),
        after=_state(after),
        exact=either.exact,
    )


def _state(found: Finding | None) -> str:
    if found is None:
        return NO_FINDING
    word = VERDICT_WORDS[found.verdict]
    if found.put_right:
        return f"{word}, put right"
    return f"{word}, conceded" if found.conceded else word

"""A trial run: which findings of past jobs another version of a specification would change.

Nothing is kept of it. A job stays judged by the version that it pins.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.assess.assessment import assess
from qa.assess.finding import Finding
from qa.assess.fitting import require_fitting_checks
from qa.assess.wording import VERDICT_WORDS
from qa.errors import RecordError
from qa.services.access import Act, Actor, require
from qa.services.listing import jobs
from qa.services.loading import without_collecting
from qa.services.reading import read_job
from qa.services.specifications import read_version
from qa.specification.model import Specification

if TYPE_CHECKING:
    from qa.services.installation import Installation
    from qa.store.job_lists import ListedJob

A_STRETCH = 20
"""Jobs that one page tries; judging a record of 5,000 entries takes about a second."""
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


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedJob:
    """A job under the version that is tried.

    Attributes:
        pinned: name of the version that it pins and keeps.
        fault: why it cannot be judged by the other one, or nothing.
    """

    id: str
    title: str
    reference: str
    pinned: str
    changes: tuple[ChangedFinding, ...]
    fault: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What was tried.

    Attributes:
        name: of the version.
        jobs: those that were tried, the one with the latest entry first.
        turns: how many findings would go from one state to another, the most first.
        has_more: whether there are further jobs.
    """

    name: str
    jobs: tuple[TriedJob, ...]
    turns: tuple[tuple[str, str, int], ...]
    has_more: bool


def try_version(
    installation: Installation, actor: Actor, key: str, version: int, *, skip: int = 0
) -> Trial:
    """Judges a stretch of the firm's jobs by a version, and compares.

    Args:
        installation: where.
        actor: who asks.
        key: of the version to try.
        version: its number.
        skip: how many of the jobs to leave out before.

    Raises:
        NotFoundError: the firm has no such version.
    """
    require(actor, Act.SEE_DESK)
    tried = read_version(installation, actor, key, version).specification
    listed = jobs(installation, actor, skip=skip, most=A_STRETCH + 1)
    with without_collecting():
        found = tuple(_tried(installation, actor, one, tried) for one in listed[:A_STRETCH])
    turns = Counter((change.before, change.after) for job in found for change in job.changes)
    return Trial(
        name=tried.name,
        jobs=found,
        turns=tuple((before, after, count) for (before, after), count in turns.most_common()),
        has_more=len(listed) > A_STRETCH,
    )


def _tried(
    installation: Installation, actor: Actor, listed: ListedJob, tried: Specification
) -> TriedJob:
    read = read_job(installation, actor, listed.id)
    fault, changes = "", tuple[ChangedFinding, ...]()
    try:
        require_fitting_checks(read.job, tried)
        after = assess(read.job, tried).findings
        changes = changed_findings(read.assessment.findings, after)
    except RecordError as error:
        fault = error.problems[0].sentence
    return TriedJob(
        id=listed.id,
        title=listed.title,
        reference=listed.reference,
        pinned=read.specification.name,
        changes=changes,
        fault=fault,
    )


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

"""What was outside its limits, gathered into matters that a homeowner can follow one by one.

A matter is a numbered fault with its decision and closure and the findings that it is about, or,
where nobody raised a fault, the findings of one check at one stage that stand alike. No finding
outside its limits is left out: each belongs to at least one matter.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import Frame, grouped, when
from qa.assess.nonconformities import CLOSED, Case, NonconformityState, cases
from qa.packs.handover import plain_words as plain
from qa.packs.photo_rows import has_picture
from qa.packs.source import PackSource
from qa.packs.verdicts import Said
from qa.record.job import Recorded
from qa.record.kinds.papers import Inspection, Photo
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage

STAGE_CHECKS = "stage."
"""How the keys of the checks begin that are about a stage as a whole."""

_SHORT_WORD = 3
"""Letters of the longest word of a caption that is passed over when two are compared."""

REJECTED = Said(mark="outside", word="rejected")
LEFT = Said(mark="outside", word="closed, not decided")

_STATES: Mapping[NonconformityState, Said] = {
    NonconformityState.OPEN: plain.OPEN,
    NonconformityState.PUT_RIGHT: plain.PUT_RIGHT,
    NonconformityState.CONCEDED: plain.ACCEPTED,
    NonconformityState.REJECTED: REJECTED,
    NonconformityState.CLOSED: LEFT,
}
"""A case that was closed without a decision that could be followed is told as just that."""

_RANKS = (plain.OPEN, REJECTED, LEFT, plain.UNDECIDED, plain.ACCEPTED, plain.PUT_RIGHT, plain.LATE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """One thing that was outside its limits, with what was done about it.

    Attributes:
        standing: how it stands today.
        case: the numbered fault, or None where none was raised.
        findings: what was judged outside or undecided; may be empty for a fault seen by eye.
        checked_again: the findings within limits that replaced them.
        inspection: the later look at the roof that found it, or None.
    """

    standing: Said
    stage: Stage
    case: Case | None = None
    findings: tuple[Finding, ...] = ()
    checked_again: tuple[Finding, ...] = ()
    inspection: Recorded[Inspection] | None = None


def matters(source: PackSource) -> tuple[Matter, ...]:
    """Every matter: what is still open first, then accepted, then put right, then late entries."""
    frame, findings = source.frame, source.assessment.findings
    outside = [f for f in findings if f.verdict in (Verdict.OUTSIDE, Verdict.UNDECIDED)]
    known = cases(frame.job)
    told = [_of_case(case, outside, findings) for case in known]
    covered = {id(found) for matter in told for found in matter.findings}
    told += _without_case([f for f in outside if id(f) not in covered], findings)
    told += _found_after_handover(frame)
    return tuple(sorted(told, key=_order))


def _order(matter: Matter) -> tuple[object, ...]:
    """Numbered faults before the others of their standing, missing papers after them."""
    number = matter.case.raised.body.number if matter.case else 0
    check = matter.findings[0].check if matter.findings else ""
    is_paper = matter.case is None and check.startswith(STAGE_CHECKS)
    rank = _RANKS.index(matter.standing)
    return (rank, is_paper, matter.case is None, matter.stage.order, number, check)


def _of_case(case: Case, outside: Sequence[Finding], findings: Sequence[Finding]) -> Matter:
    """The matter of a numbered fault; the count of open faults is told with each open one."""
    about = tuple(
        found for found in outside if case.covers(found) or (found.check == CLOSED and case.is_open)
    )
    standing = _STATES[case.state]
    if any(found.is_open for found in about) and standing in (plain.PUT_RIGHT, plain.ACCEPTED):
        standing = plain.OPEN
    return Matter(
        standing=standing,
        stage=case.raised.body.stage,
        case=case,
        findings=tuple(sorted(about, key=lambda found: found.check == CLOSED)),
        checked_again=_checked_again(about, findings),
    )


def _without_case(outside: Iterable[Finding], findings: Sequence[Finding]) -> Iterator[Matter]:
    groups = grouped(outside, _kind)
    for (_, _, standing), about in groups.items():
        yield Matter(
            standing=standing,
            stage=about[0].stage,
            findings=tuple(about),
            checked_again=_checked_again(about, findings),
        )


def _kind(found: Finding) -> tuple[Stage | None, str, Said]:
    """What is told together; what a stage lacks as a whole is told for all stages at once."""
    stage = None if found.check.startswith(STAGE_CHECKS) else found.stage
    return (stage, found.check, plain.said_to_owner(found))


def _checked_again(about: Sequence[Finding], findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings that took the place of those that were put right."""
    places = {_place(found) for found in about if found.put_right}
    return tuple(f for f in findings if f.verdict is Verdict.WITHIN and _place(f) in places)


def _place(found: Finding) -> tuple[str, Stage, str | None, str | None, str | None]:
    return (found.check, found.stage, found.area, found.bay, found.subject)


def _found_after_handover(frame: Frame) -> Iterator[Matter]:
    """Defects that a later inspection found; no entry says what became of them."""
    for inspection in sorted(frame.job.inspections, key=when):
        if inspection.body.defect:
            yield Matter(standing=plain.OPEN, stage=Stage.COMPLETION, inspection=inspection)


def photos_of(source: PackSource, matter: Matter) -> tuple[Recorded[Photo], ...]:
    """A picture of a matter from before and one from after, of the same thing where one is."""
    by_name: Sequence[Recorded[Photo]] = ()
    if matter.case is not None:
        number = matter.case.raised.body.number
        by_name = source.frame.photos_by.get(("nonconformity", number), ())
    files = {
        file for found in matter.findings for file in found.photos if matter.standing != plain.LATE
    }
    candidates = by_name or [photo for photo in source.job.photos if photo.body.file in files]
    shown = sorted((photo for photo in candidates if has_picture(source, photo)), key=when)
    return _before_and_after(matter, shown)


def _before_and_after(
    matter: Matter, shown: Sequence[Recorded[Photo]]
) -> tuple[Recorded[Photo], ...]:
    """The first picture, and of those after the decision the one that is most like it."""
    if len(shown) < 2:
        return tuple(shown)
    before, *later = shown
    decided = matter.case.disposition if matter.case else None
    after = [photo for photo in later if decided is not None and photo.at > decided.at]
    return before, max(after or later, key=lambda photo: (*_likeness(before, photo), when(photo)))


def _likeness(one: Recorded[Photo], other: Recorded[Photo]) -> tuple[bool, int]:
    """Whether two pictures are of one place, and how many words their captions share."""
    places = [(photo.body.area, photo.body.bay, photo.body.edge) for photo in (one, other)]
    return places[0] == places[1], len(_caption_words(one) & _caption_words(other))


def _caption_words(photo: Recorded[Photo]) -> set[str]:
    """The words of a caption that can tell what it is about; short ones hold it together."""
    words = re.findall(r"\w+", (photo.body.caption or "").casefold())
    return {word for word in words if len(word) > _SHORT_WORD}

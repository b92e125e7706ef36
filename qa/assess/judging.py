"""Making one finding: the verdict from the trade's rule, the sentences, the photos that show it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from operator import attrgetter

from qa.assess.finding import Finding
from qa.assess.frame import Frame, PhotoPlace
from qa.assess.wording import Telling
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.schema import Body
from qa.specification.model import Check, Sourced
from qa.trade.conformity import Limits, Verdict, judge
from qa.trade.vocabulary import Stage

NO_LIMITS = Limits(lower=None, upper=None)


def finding(
    frame: Frame,
    key: str,
    *,
    check: Check | None = None,
    stage: Stage,
    area: str | None = None,
    bay: str | None = None,
    subject: str | None = None,
    value: float | None = None,
    answer: bool | None = None,
    verdict: Verdict | None = None,
    limits: Limits | None = None,
    sourced: Sourced | None = None,
    expanded_uncertainty: float | None = None,
    on: Iterable[Recorded[Body]] = (),
    reason: str | None = None,
    remark: str = "",
) -> Finding:
    """One finding.

    Args:
        frame: the job laid out for judging.
        key: the check's key.
        check: the check itself where its words differ from the specification's.
        stage: the stage of the entry that is judged.
        area: the area's key, or None.
        bay: the bay's key, or None.
        subject: what was judged where there are several, or None.
        value: what was measured, in the check's unit.
        answer: for an observation, whether the answer was the good one.
        verdict: where given, it stands; else it follows from value or answer, and is
            `NOT_RECORDED` where there is neither.
        limits: where given, they replace the check's own.
        sourced: where given, its basis and source replace the check's own.
        expanded_uncertainty: of the value, k = 2, or None where not known.
        on: the entries that it rests on.
        reason: why the check does not apply.
        remark: what the expert should know beside, a sentence or more.
    """
    check = frame.specification.checks[key] if check is None else check
    limits = check.limits if limits is None else limits
    if verdict is None:
        verdict = _verdict(frame, value, answer, limits, expanded_uncertainty)
    return Finding(
        stage=stage,
        area=area,
        bay=bay,
        subject=subject,
        value=value,
        expanded_uncertainty=expanded_uncertainty,
        limits=limits,
        verdict=verdict,
        entries=tuple(map(_ID, on)),
        photos=_photos(frame, check, area, bay, subject),
        telling=Telling(
            check=check,
            sourced=check if sourced is None else sourced,
            answer=answer,
            reason=reason,
            remark=remark,
            area_name=frame.area_name(area) if len(frame.areas) > 1 else None,
        ),
    )


_ID, _POSITION = attrgetter("entry.id"), attrgetter("position")


def _verdict(
    frame: Frame,
    value: float | None,
    answer: bool | None,
    limits: Limits,
    expanded_uncertainty: float | None,
) -> Verdict:
    if answer is not None:
        return Verdict.WITHIN if answer else Verdict.OUTSIDE
    if value is None:
        return Verdict.NOT_RECORDED
    return judge(
        value,
        limits=limits,
        expanded_uncertainty=expanded_uncertainty,
        rule=frame.specification.rule,
    )


def _photos(
    frame: Frame, check: Check, area: str | None, bay: str | None, subject: str | None
) -> tuple[str, ...]:
    """Files of the photos that show what was judged: by check and place, by mix, by edge."""
    by = frame.photos_by
    of_check = frame.photos_of_check.get(check.key)
    shown = [] if of_check is None else _at_place(of_check, area, bay)
    if bay is not None and check.key.startswith("laminate."):
        shown.extend(by.get(("bay", area, bay), ()))
    if subject is not None:
        shown.extend(by.get(("mix", subject), ()))
        shown.extend(by.get(("edge", area, subject), ()))
    return tuple(dict.fromkeys(photo.body.file for photo in shown)) if shown else ()


def _at_place(
    photos: Mapping[PhotoPlace, Sequence[Recorded[Photo]]], area: str | None, bay: str | None
) -> list[Recorded[Photo]]:
    """The photos of a place and those that hold for all, in the order of the record."""
    places = dict.fromkeys(((area, bay), (area, None), (None, bay), (None, None)))
    found = [photo for place in places for photo in photos.get(place, ())]
    return sorted(found, key=_POSITION) if len(found) > 1 else found

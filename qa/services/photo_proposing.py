"""What photographs show, proposed from when they were taken and what was recorded about then.

Pure: a job's frame and the times in, proposals with their reasons out. A proposal says only what
the record itself says of that time; what a picture shows, a person confirms.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from qa.assess.frame import Frame
from qa.assess.photo_requests import MissingPhotos, missing_photos
from qa.record.job import Recorded
from qa.record.kinds.readings import Measurement, Observation
from qa.services.deck_looks import span_text
from qa.services.photo_targets import PhotoTarget
from qa.trade.vocabulary import Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearness:
    """How near in time belongs together; project choice.

    Attributes:
        stage: what was recorded within it tells the stage.
        place: what was recorded within it tells the bay.
        subject: what was recorded within it tells the check, mix or batch.
    """

    stage: timedelta = timedelta(hours=6)
    place: timedelta = timedelta(minutes=20)
    subject: timedelta = timedelta(minutes=5)


USUAL = Nearness()


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a photograph is proposed to show.

    Attributes:
        reason: "3 min after bay r2b3 was examined".
        meets: what the stage still asks for and this would show, in words; or nothing.
    """

    target: PhotoTarget
    reason: str
    meets: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Happening:
    """Something that was recorded.

    Attributes:
        stage: None for a batch, which belongs to none.
        shows: what it names, besides the stage.
    """

    at: datetime
    stage: Stage | None
    said: str
    shows: Mapping[str, str | None]
    is_look: bool = False


def propose(
    frame: Frame, taken: Mapping[str, datetime], *, nearness: Nearness = USUAL
) -> Mapping[str, Proposal]:
    """A proposal for each photograph near which something was recorded.

    Each request of a stage is met by as many photographs as it asks for, the earliest first.

    Args:
        frame: of the job.
        taken: when each was taken, by any key.
        nearness: how near in time belongs together.
    """
    happenings = sorted(_happenings(frame), key=lambda one: one.at)
    times = [one.at for one in happenings]
    asked = {stage: _Asked(missing_photos(frame, stage)) for stage in Stage}
    proposals = {}
    for key, at in sorted(taken.items(), key=lambda item: item[1]):
        found = _proposal(happenings, times, at, nearness)
        if found is not None:
            meets = asked[found.target.stage].take(found.target)
            proposals[key] = replace(found, meets=meets)
    return proposals


def _proposal(
    happenings: Sequence[_Happening], times: Sequence[datetime], at: datetime, near: Nearness
) -> Proposal | None:
    first, last = bisect_left(times, at - near.stage), bisect_left(times, at + near.stage)
    about = sorted(happenings[first:last], key=lambda one: abs(one.at - at))
    staged = next((one for one in about if one.stage is not None), None)
    if staged is None or staged.stage is None:
        return None
    stage = staged.stage
    nearest = about[0]
    target = PhotoTarget(stage=stage, area=staged.shows.get("area"))
    is_subject = abs(nearest.at - at) <= near.subject and not nearest.is_look
    if is_subject and {"check", "mix", "lot"} & nearest.shows.keys():
        return Proposal(target=_showing(target, nearest), reason=_reason(nearest, at))
    look = next(
        (one for one in about if one.stage is stage and one.shows.get("bay")
         and abs(one.at - at) <= near.place), None,
    )  # fmt: skip
    if look is not None:
        target = replace(target, area=look.shows.get("area"), bay=look.shows.get("bay"))
        return Proposal(target=target, reason=_reason(look, at))
    return Proposal(target=target, reason=_reason(staged, at))


def _showing(target: PhotoTarget, one: _Happening) -> PhotoTarget:
    names: dict[str, Any] = dict(one.shows)
    return replace(target, **names)


def _reason(one: _Happening, at: datetime) -> str:
    apart = at - one.at
    if abs(apart) < timedelta(minutes=1):
        return f"when {one.said}"
    return f"{span_text(abs(apart))} {'after' if apart > timedelta(0) else 'before'} {one.said}"


def _happenings(frame: Frame) -> Iterator[_Happening]:
    yield from _looks(frame)
    yield from _answers(frame)
    yield from _work(frame)


def _looks(frame: Frame) -> Iterator[_Happening]:
    for one in frame.job.examinations:
        bay = f"bay {one.body.bay}{_of_area(frame, one.body.area)}"
        shows = {"area": one.body.area, "bay": one.body.bay}
        yield _Happening(
            at=one.at, stage=Stage.LAMINATE, said=f"{bay} was examined", shows=shows, is_look=True
        )


def _answers(frame: Frame) -> Iterator[_Happening]:
    checks = frame.specification.checks
    answers: list[Recorded[Measurement] | Recorded[Observation]] = [
        *frame.job.measurements, *frame.job.observations,
    ]  # fmt: skip
    for one in answers:
        body = one.body
        about = checks[body.check].quantity if body.check in checks else body.check
        named = ("area", "check", "edge", "bay")
        shows = {name: getattr(body, name) for name in named if getattr(body, name)}
        said = f"“{about}” was recorded{_of_area(frame, body.area, 'on')}"
        yield _Happening(at=one.at, stage=body.stage, said=said, shows=shows)


def _work(frame: Frame) -> Iterator[_Happening]:
    job = frame.job
    for mix in job.mixes:
        bays = mix.body.bays or ()
        shows = {"area": mix.body.area, "mix": mix.body.mix}
        shows |= {"bay": bays[0]} if len(bays) == 1 else {}
        said = f"{mix.body.mix} was mixed"
        yield _Happening(at=mix.at, stage=mix.body.stage, said=said, shows=shows)
    for reading in job.conditions:
        shows = {"area": reading.body.area} if reading.body.area else {}
        said = "the conditions were read"
        yield _Happening(at=reading.at, stage=reading.body.stage, said=said, shows=shows)
    for usage in job.usages:
        said, shows = "a batch was used", {"area": usage.body.area}
        yield _Happening(at=usage.at, stage=usage.body.stage, said=said, shows=shows)
    for stop in job.interruptions:
        shows = {"area": stop.body.area} if stop.body.area else {}
        said = f"the work stopped for {stop.body.cause}"
        yield _Happening(at=stop.body.from_, stage=stop.body.stage, said=said, shows=shows)
    for lot in job.lots:
        said = f"batch {lot.body.batch_number} was registered"
        yield _Happening(at=lot.at, stage=None, said=said, shows={"lot": lot.body.lot})
    for photo in job.photos:
        shows = {"area": photo.body.area} if photo.body.area else {}
        said = "another photo was taken"
        yield _Happening(at=photo.at, stage=photo.body.stage, said=said, shows=shows)


def _of_area(frame: Frame, area: str | None, word: str = "of") -> str:
    """The area's name, where there are several."""
    return f" {word} {frame.area_name(area)}" if area and len(frame.areas) > 1 else ""


class _Asked:
    """What a stage still asks for, used up as photographs are proposed for it."""

    def __init__(self, missing: Sequence[MissingPhotos]) -> None:
        self._left = [[one, one.wanted.least - one.there] for one in missing]

    def take(self, target: PhotoTarget) -> str:
        """What a photograph of the target would meet, in words; or nothing."""
        for place, (one, left) in enumerate(self._left):
            assert isinstance(one, MissingPhotos)
            assert isinstance(left, int)
            if left > 0 and one.wanted.is_marked and _meets(one, target):
                self._left[place][1] = left - 1
                return f"{one.wanted.asked}: {one.wanted.mark}".removesuffix(": ")
        return ""


def _meets(one: MissingPhotos, target: PhotoTarget) -> bool:
    """Whether a photograph of the target names what a request asks for by its mark."""
    place = one.wanted.place
    if place.area is not None and place.area != target.area:
        return False
    if place.bay is not None:
        is_row = one.wanted.mark.startswith("row ")
        row = place.bay.partition("b")[0]
        return (target.bay or "").partition("b")[0] == row if is_row else place.bay == target.bay
    named = [(place.check, target.check), (place.edge, target.edge), (place.lot, target.lot)]
    return any(wanted is not None and wanted == is_ for wanted, is_ in named)

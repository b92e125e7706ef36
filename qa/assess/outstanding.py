"""What a stage still asks to be recorded, in words for the person who is on the roof.

The findings that say “not recorded” are the source; many of them are answered by one entry, so they
are gathered by what a person does next: read the conditions, answer a check, complete a mix, look
at bays, take a photo, sign.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from qa.assess.asked_photos import asked_photos
from qa.assess.dryness import DRY
from qa.assess.examinations import EXAMINED
from qa.assess.finding import Assessment, Finding
from qa.assess.first_mixes import FIRST_MIX
from qa.assess.frame import Frame, grouped, when
from qa.assess.photo_requests import PHOTOS, MissingPhotos, PhotoPlace, missing_photos
from qa.assess.stages import RELEASED, SIGNED_OFF
from qa.record.kinds.decisions import SignOffDecision
from qa.specification.model import Form
from qa.trade.bay_runs import bay_runs
from qa.trade.conformity import Verdict
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import WET_STAGES, Stage


class Way(StrEnum):
    """What a person does to record it."""

    AREA = "area"
    CHECK = "check"
    CONDITIONS = "conditions"
    MIX = "mix"
    BAYS = "bays"
    USAGE = "usage"
    PHOTO = "photo"
    SIGN_OFF = "sign_off"
    RELEASE = "release"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outstanding:
    """One thing that is still to record.

    Attributes:
        way: what a person does to record it.
        text: what it is: "Moisture content of the deck boards".
        place: the area's name where the job has several, or nothing.
        check: key of the check that is not answered, or None.
        area: key of the area, or None.
        mix: key of the mix that is to be completed, or None.
        photo: for a photo, what it must name.
    """

    way: Way
    text: str
    place: str = ""
    check: str | None = None
    area: str | None = None
    mix: str | None = None
    photo: PhotoPlace | None = None

    @property
    def sentence(self) -> str:
        """The whole in one line."""
        return f"{self.text}, {self.place}" if self.place else self.text


def outstanding(frame: Frame, assessment: Assessment, stage: Stage) -> tuple[Outstanding, ...]:
    """What a stage still asks for, in the order in which a person would do it.

    Args:
        frame: the job laid out.
        assessment: the same job judged.
        stage: the stage.
    """
    silent = [f for f in assessment.of_stage(stage) if f.verdict is Verdict.NOT_RECORDED]
    order = {key: number for number, key in enumerate(frame.specification.checks)}
    silent.sort(key=lambda found: order[found.check])
    return tuple(_in_order(frame, assessment, stage, silent))


def _in_order(
    frame: Frame, assessment: Assessment, stage: Stage, silent: Sequence[Finding]
) -> Iterator[Outstanding]:
    if not frame.areas:
        yield Outstanding(way=Way.AREA, text="The roof’s outline, edges and mat")
    yield from _conditions(frame, stage, _of_group(silent, "conditions"))
    yield from _checks(silent)
    yield from _mixes(frame, stage, _of_group(silent, "mix"))
    if stage is Stage.LAMINATE:
        yield from _bays(frame, assessment)
    yield from _reckoned(frame, silent)
    yield from _photos(missing_photos(frame, stage))
    yield from asked_for(frame, stage)
    keys = {found.check for found in silent}
    said = [s.body.decision for s in sorted(frame.job.sign_offs, key=when) if s.body.stage is stage]
    yield from _signature(assessment, stage, said, is_missing=SIGNED_OFF in keys)
    if RELEASED in keys:
        yield Outstanding(way=Way.RELEASE, text="Release by a supervisor", check=RELEASED)
    elif said and said[-1] is SignOffDecision.COMPLETE and SignOffDecision.REFUSED in said:
        text = "Release by a supervisor, who refused it before"
        yield Outstanding(way=Way.RELEASE, text=text, check=RELEASED)


def asked_for(frame: Frame, stage: Stage) -> Iterator[Outstanding]:
    """Each photograph that somebody asked for in words."""
    for asked in asked_photos(frame.job, stage):
        yield Outstanding(
            way=Way.PHOTO,
            text=f"Photo asked for: {asked.words}",
            place=frame.area_name(asked.area) or "",
            area=asked.area,
            photo=PhotoPlace(area=asked.area, caption=asked.words),
        )


def _signature(
    assessment: Assessment, stage: Stage, said: Sequence[SignOffDecision], *, is_missing: bool
) -> Iterator[Outstanding]:
    """The sign-off where there is none, or where a refusal or more work came after it."""
    signed = (found for found in assessment.of_stage(stage) if found.check == SIGNED_OFF)
    if is_missing:
        text = "The installer’s sign-off"
    elif said and said[-1] is SignOffDecision.REFUSED:
        text = "The installer’s sign-off again, after the refusal"
    elif any(found.is_open for found in signed):
        text = "The installer’s sign-off again, after the last work"
    else:
        return
    yield Outstanding(way=Way.SIGN_OFF, text=text, check=SIGNED_OFF)


def _of_group(findings: Iterable[Finding], group: str) -> list[Finding]:
    return [found for found in findings if found.check.startswith(f"{group}.")]


def _conditions(frame: Frame, stage: Stage, silent: Sequence[Finding]) -> Iterator[Outstanding]:
    """All that a reading of the conditions answers, once."""
    if not silent or stage not in WET_STAGES:
        return
    mixes = [found.subject for found in silent if found.subject in _mix_keys(frame)]
    if not frame.mixes.get(stage):
        text = f"Conditions {_until_first_mix(frame, stage)}"
    elif all(found.check == DRY for found in silent):
        text = "Whether it rained, from the first mix until now"
    elif mixes:
        text = f"Conditions near {_listed(dict.fromkeys(filter(None, mixes)))}"
    else:
        text = "Conditions while wet work goes on"
    yield Outstanding(way=Way.CONDITIONS, text=text, area=silent[0].area)


def _until_first_mix(frame: Frame, stage: Stage) -> str:
    """When to read before a stage has a mix; the cure is counted between readings alone."""
    if stage is not Stage.TOPCOAT or not frame.mixes.get(Stage.LAMINATE):
        return "before the first mix"
    gap = quantity_text(frame.specification.figures.cure_longest_gap_h.value, "h")
    return f"at least every {gap} while the laminate cures, and before the first mix"


def _checks(silent: Sequence[Finding]) -> Iterator[Outstanding]:
    """Each check that people answer, once for an area whatever edges or bays are missing."""
    answered = [f for f in silent if f.telling.check.form is not Form.COMPUTED]
    for (check, area), group in grouped(answered, lambda f: (f.check, f.area)).items():
        places = dict.fromkeys(place for f in group if (place := f.bay or f.subject))
        yield Outstanding(
            way=Way.CHECK,
            text=_quantity(group[0]) + (f": {_listed(places)}" if places else ""),
            place=group[0].telling.area_name or "",
            check=check,
            area=area,
        )


_OF_A_MIX: Mapping[str, str] = {
    "mix.dose": "dose",
    "mix.batch_in_date": "use-by dates of its lots",
    "mix.stir_before": "stirring before pouring",
    "mix.stir_after": "stirring after dosing",
    "mix.used_in_time": "when it was emptied",
    "mix.traceable": "its lots",
}


def _mixes(frame: Frame, stage: Stage, silent: Sequence[Finding]) -> Iterator[Outstanding]:
    if stage in WET_STAGES and not frame.mixes.get(stage):
        yield Outstanding(way=Way.MIX, text="The mixes; none is recorded yet")
        return
    for key, group in grouped(silent, lambda found: found.subject).items():
        parts = _listed(_OF_A_MIX.get(found.check, _quantity(found)) for found in group)
        yield Outstanding(way=Way.MIX, text=f"{_named('Mix', key)}: {parts}", mix=key)


def _named(word: str, key: str | None) -> str:
    """A mix by its key, without saying “mix” twice."""
    key = key or ""
    return key.capitalize() if key.lower().startswith(word.lower()) else f"{word} {key}"


def _bays(frame: Frame, assessment: Assessment) -> Iterator[Outstanding]:
    """Bays that nobody has examined, and what was left out where somebody did."""
    for key, area in frame.areas.items():
        looked_at = {examined.body.bay for examined in frame.examinations.at(key)}
        missing = [bay for bay in area.bays if bay not in looked_at]
        name = area.body.name if len(frame.areas) > 1 else ""
        if missing:
            runs = "all bays" if not looked_at else f"bays {bay_runs(missing)}"
            text = f"{runs[0].upper()}{runs[1:]} not examined"
            yield Outstanding(way=Way.BAYS, text=text, place=name, check=EXAMINED, area=key)
        silent = [
            found
            for found in assessment.of_stage(Stage.LAMINATE)
            if found.verdict is Verdict.NOT_RECORDED and found.area == key and found.bay
        ]
        for check, group in grouped(silent, lambda found: found.check).items():
            text = f"{_quantity(group[0])}: bays {bay_runs([found.bay or '' for found in group])}"
            yield Outstanding(way=Way.BAYS, text=text, place=name, check=check, area=key)


_RECKONED_FROM: Mapping[str, Way] = {
    "topcoat.interval": Way.CONDITIONS,
    "laminate.passes": Way.BAYS,
    "laminate.thickness": Way.BAYS,
    "laminate.wet_out": Way.BAYS,
    "laminate.pinholes": Way.BAYS,
    "laminate.trapped_air": Way.BAYS,
}
"""What is recorded so that a check can be reckoned; all others are reckoned from what was used."""

_ELSEWHERE = frozenset({PHOTOS, SIGNED_OFF, RELEASED, EXAMINED})


def _reckoned(frame: Frame, silent: Sequence[Finding]) -> Iterator[Outstanding]:
    """What the assessment reckons from other entries and could not, for want of them."""
    for found in silent:
        group = found.check.partition(".")[0]
        is_elsewhere = found.check in _ELSEWHERE or group in ("mix", "conditions")
        if is_elsewhere or found.bay or found.telling.check.form is not Form.COMPUTED:
            continue
        if found.stage in WET_STAGES and not frame.mixes.get(found.stage):
            continue
        if found.check == FIRST_MIX:
            text = f"{_quantity(found)}: the bays of {found.subject}"
            yield Outstanding(way=Way.MIX, text=text, check=found.check, mix=found.subject)
            continue
        yield Outstanding(
            way=_RECKONED_FROM.get(found.check, Way.USAGE),
            text=_quantity(found),
            place=found.telling.area_name or "",
            check=found.check,
            area=found.area,
        )


def _photos(missing: Iterable[MissingPhotos]) -> Iterator[Outstanding]:
    """Each request once, with what is missing of it."""
    by_request = grouped(missing, lambda one: (one.wanted.asked, one.wanted.place.area))
    for (asked, area), group in by_request.items():
        marks = [one.wanted.mark.removeprefix("edge ") for one in group if one.wanted.mark]
        first = group[0]
        counted = f" ({first.there} of {first.wanted.least})" if first.wanted.least > 1 else ""
        text = f"Photo: {asked}" + (f" ({_listed(marks)})" if marks else counted)
        yield Outstanding(way=Way.PHOTO, text=text, area=area, photo=first.wanted.place)


def _mix_keys(frame: Frame) -> set[str | None]:
    return {mix.body.mix for mix in frame.job.mixes}


def _quantity(found: Finding) -> str:
    """What is measured or seen, as a sentence begins."""
    quantity = found.telling.check.quantity
    return f"{quantity[:1].upper()}{quantity[1:]}"


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words)

"""`survey.fall` and `survey.back_fall`, from people's measurements and from surveyed levels.

A measurement stands for itself, put right or not as any other. Where an area has levels, what they
say is judged too: in the measurement's place where nobody measured, else beside it as a second
finding with the subject "levels".

Levels that answer nothing are no verdict on the roof: why not is told beside the measurement, or
beside "not recorded".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from qa.assess.answers import Reading
from qa.assess.finding import Finding
from qa.assess.frame import Frame, grouped
from qa.assess.judging import finding
from qa.assess.levels import BACK_FALL, FALL, Told, back_fall_told, fall_told, study_area
from qa.assess.recorded import judge_series
from qa.specification.model import Need

LEVELS = "levels"
"""The subject of what is judged from levels beside a measurement."""


def judge_falls(frame: Frame, answers: Mapping[str, Sequence[Reading]]) -> Iterator[Finding]:
    """The findings of `survey.fall` and `survey.back_fall` for every area.

    Args:
        frame: the job laid out for judging.
        answers: the readings by check.
    """
    studied = {key: study_area(frame, area) for key, area in frame.areas.items()}
    for check, from_levels in ((FALL, fall_told), (BACK_FALL, back_fall_told)):
        readings = answers.get(check, ())
        told = {key: from_levels(frame, area) for key, area in studied.items() if area is not None}
        yield from _measured(frame, check, readings, told)
        yield from _reckoned(frame, check, readings, told)


def _measured(
    frame: Frame, key: str, readings: Sequence[Reading], told: Mapping[str, Told]
) -> Iterator[Finding]:
    """What people measured or saw, and beside it why the levels do not answer."""
    check = frame.specification.checks[key]
    places = grouped(readings, lambda r: (r.stage, r.area, r.bay, r.edge))
    for (_, area, _, _), series in places.items():
        beside = told.get(area) if area is not None else None
        remark = beside.remark if beside is not None and beside.value is None else ""
        yield from judge_series(frame, check, series, remark=remark)


def _reckoned(
    frame: Frame, key: str, readings: Sequence[Reading], told: Mapping[str, Told]
) -> Iterator[Finding]:
    """What the levels say, and “not recorded” where neither they nor people answer."""
    check = frame.specification.checks[key]
    stage = check.stages[0]
    answered = {reading.area for reading in readings if reading.stage is stage}
    surveyed = {area.body.area: area for area in frame.job.areas}
    for area in frame.areas:
        is_answered = area in answered or None in answered
        make = partial(finding, frame, key, stage=stage, area=area)
        beside = told.get(area)
        if beside is not None and beside.value is not None:
            yield make(
                subject=LEVELS if is_answered else None,
                value=beside.value,
                expanded_uncertainty=beside.expanded_uncertainty,
                verdict=beside.verdict,
                on=(surveyed[area],),
                remark=beside.remark,
            )
        elif not is_answered and check.need is Need.ALWAYS:
            yield make(remark=beside.remark if beside is not None else "")

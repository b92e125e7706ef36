"""The first mix of each day, which is laid on a small area to try how the material goes off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from qa.assess.answers import Reading
from qa.assess.consumption import laid_bays_uncertainty_m2
from qa.assess.finding import Finding
from qa.assess.frame import Frame, grouped
from qa.assess.judging import finding
from qa.record.job import Recorded
from qa.record.schema import Body
from qa.trade.vocabulary import Stage

FIRST_MIX = "laminate.first_mix_area"


def judge_first_mixes(frame: Frame, measured: Sequence[Reading]) -> Iterator[Finding]:
    """The area of the first laminating mix of each day.

    Args:
        frame: the job laid out for judging.
        measured: the measurements of `laminate.first_mix_area`.
    """
    mixes = frame.mixes.get(Stage.LAMINATE, ())
    by_day = {frame.local_day(reading.on.at): reading for reading in measured}
    days = grouped(mixes, lambda mix: frame.local_day(mix.at))
    for day, of_day in days.items():
        first = of_day[0]
        reading = by_day.get(day)
        planned = frame.areas[first.body.area].bays
        bays = first.body.bays or ()
        on: tuple[Recorded[Body], ...] = (first,)
        value = uncertainty = None
        remark = "Neither its bays nor its area are recorded."
        if reading is not None:
            value, uncertainty = reading.value, reading.expanded_uncertainty
            remark, on = reading.remark, (first, reading.on)
        elif bays and all(bay in planned for bay in bays):
            value = sum(planned[bay].area_m2 for bay in bays)
            uncertainty = laid_bays_uncertainty_m2(frame, first.body.area, bays)
            remark = f"Bays {', '.join(bays)}."
        yield finding(
            frame,
            FIRST_MIX,
            stage=Stage.LAMINATE,
            area=first.body.area,
            subject=first.body.mix,
            value=value,
            expanded_uncertainty=uncertainty,
            on=on,
            remark=remark,
        )
    if not days:
        yield finding(frame, FIRST_MIX, stage=Stage.LAMINATE)

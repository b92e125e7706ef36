"""The cure clock: between laminate and topcoat, and how long the finished roof was kept dry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial

from qa.assess.answers import Reading
from qa.assess.finding import Finding
from qa.assess.frame import Frame, Placed
from qa.assess.judging import finding
from qa.assess.recorded import judge_series
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix
from qa.specification.model import Check
from qa.trade.conformity import Limits, Verdict
from qa.trade.cure import CureHours, CureRate, equivalent_hours
from qa.trade.notation import number_text
from qa.trade.vocabulary import Stage

INTERVAL = "topcoat.interval"
DRY_HOURS = "completion.dry_hours"
EQUIVALENT, CLOCK = "equivalent hours", "clock hours"
_HOUR = timedelta(hours=1)


def judge_topcoat_interval(frame: Frame) -> Iterator[Finding]:
    """Hours from the last laminate mix to the first topcoat mix of every area."""
    for area in frame.areas:
        laminate = frame.mixes_of(Stage.LAMINATE, area)
        topcoat = frame.mixes_of(Stage.TOPCOAT, area)
        if laminate and topcoat:
            yield from _judge_interval(frame, area, laminate[-1], topcoat[0])
        else:
            yield finding(frame, INTERVAL, stage=Stage.TOPCOAT, area=area)


def cure_rate(frame: Frame) -> CureRate:
    """The rate of the specification's cure clock."""
    figures = frame.specification.figures
    return CureRate(
        doubling_k=figures.cure_doubling_k.value,
        floor_c=figures.cure_floor_c.value,
        reference_c=figures.cure_reference_c.value,
        longest_gap_h=figures.cure_longest_gap_h.value,
    )


def deck_readings(frame: Frame, area: str) -> list[tuple[datetime, float]]:
    """Every deck temperature logged for an area, °C, in order of time."""
    logged: list[tuple[datetime, float]] = [
        (reading.at, reading.body.deck_c)
        for reading in frame.readings.at(area)
        if reading.body.deck_c is not None
    ]
    logged += [(mix.at, mix.body.deck_c) for mix in frame.mixes_by_area.at(area)]
    return sorted(logged)


def _judge_interval(
    frame: Frame, area: str, last: Recorded[Mix], first: Recorded[Mix]
) -> Iterator[Finding]:
    start = last.at
    end = max(first.at, start)
    clock_h = (first.at - start) / _HOUR
    figure = frame.specification.figures.topcoat_clock_hours
    yield finding(
        frame,
        INTERVAL,
        check=replace(
            frame.specification.checks[INTERVAL],
            quantity="clock hours from the last laminate mix to the first topcoat mix",
            plain="The time between the laminate and the topcoat, by the clock,",
        ),
        stage=Stage.TOPCOAT,
        area=area,
        subject=CLOCK,
        value=clock_h,
        expanded_uncertainty=0.0,
        limits=Limits(lower=None, upper=figure.value),
        sourced=figure,
        on=(last, first),
    )
    cured = equivalent_hours(
        deck_readings(frame, area), start=start, end=end, rate=cure_rate(frame)
    )
    yield finding(
        frame,
        INTERVAL,
        stage=Stage.TOPCOAT,
        area=area,
        subject=EQUIVALENT,
        value=cured.equivalent_h,
        verdict=_verdict_with_gaps(frame, cured),
        on=(last, first),
        remark=_gaps_text(frame, cured),
    )


def _verdict_with_gaps(frame: Frame, cured: CureHours) -> Verdict | None:
    """None where the value can be judged as it is; undecided where readings are missing.

    What the readings cover is a lower bound: enough of it is enough, too little with gaps is not
    known to be too little.
    """
    if not cured.gaps:
        return None
    return _undecided_below(frame.specification.checks[INTERVAL], cured.equivalent_h)


def _undecided_below(check: Check, value: float) -> Verdict | None:
    """Undecided where a lower bound of the true value falls short of the check's lower limit."""
    lower = check.limits.lower
    return Verdict.UNDECIDED if lower is not None and value < lower else None


def _gaps_text(frame: Frame, cured: CureHours) -> str:
    covered = f"Readings cover {number_text(cured.covered_h, 3)} of "
    covered += f"{number_text(cured.clock_h, 3)} h; hours at 20 °C are counted from them alone."
    if not cured.gaps:
        return covered
    gaps = "; ".join(
        f"{frame.local_time(gap.start)} to {frame.local_time(gap.end)}" for gap in cured.gaps
    )
    return f"{covered} No readings: {gaps}."


def judge_dry_hours(frame: Frame, measured: Sequence[Reading]) -> Iterator[Finding]:
    """How long each area was kept dry after its last topcoat mix.

    Args:
        frame: the job laid out for judging.
        measured: the measurements of `completion.dry_hours`.
    """
    placed = Placed(measured, lambda reading: reading.area)
    for area in frame.areas:
        stated = placed.at(area)
        if stated:
            check = frame.specification.checks[DRY_HOURS]
            yield from judge_series(frame, check, stated)
            continue
        topcoat = frame.mixes_of(Stage.TOPCOAT, area)
        if topcoat:
            yield _watched(frame, area, topcoat[-1])
        else:
            yield finding(frame, DRY_HOURS, stage=Stage.COMPLETION, area=area)


def _watched(frame: Frame, area: str, last: Recorded[Mix]) -> Finding:
    """Hours until rain was first noted, or until the sky was last noted dry.

    Looks that were all dry and ended too early prove no rain: then nothing is decided.
    """
    start = last.at
    looked = [
        reading
        for reading in frame.readings.at(area)
        if reading.at > start and reading.body.rain is not None
    ]
    make = partial(
        finding, frame, DRY_HOURS, stage=Stage.COMPLETION, area=area, expanded_uncertainty=0.0
    )
    rain = next((reading for reading in looked if reading.body.rain), None)
    if rain is not None:
        remark = f"Rain was noted on {frame.local_time(rain.at)}."
        return make(value=(rain.at - start) / _HOUR, on=(last, rain), remark=remark)
    if not looked:
        remark = "No reading after the last topcoat mix says whether it rained."
        return make(expanded_uncertainty=None, on=(last,), remark=remark)
    hours = (looked[-1].at - start) / _HOUR
    return make(
        value=hours,
        verdict=_undecided_below(frame.specification.checks[DRY_HOURS], hours),
        on=(last, *looked),
        remark=f"Noted dry until {frame.local_time(looked[-1].at)}, at {len(looked)} looks.",
    )

"""Weather and deck while wet work goes on: temperatures, humidity, dew margin, how often read.

Each reading is judged on its own, and each mix by its own deck temperature and the air of the last
reading, as long as that reading still holds. Dew points follow `qa.trade.dew_point`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from qa.assess.air import Air, LastReadings, last_before
from qa.assess.finding import Finding
from qa.assess.frame import Frame, grouped, when
from qa.assess.judging import finding
from qa.assess.known_uncertainty import uncertainty_of
from qa.errors import DomainError
from qa.record.job import Recorded
from qa.record.kinds.readings import Conditions
from qa.record.kinds.supplies import Mix
from qa.record.schema import Body
from qa.trade.conformity import Verdict
from qa.trade.dew_point import dew_margin_k, dew_point_c
from qa.trade.dew_uncertainty import dew_margin_uncertainty_k
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import WET_STAGES, Stage

DECK = "conditions.deck_temperature"
AIR = "conditions.air_temperature"
MARGIN = "conditions.dew_margin"
HUMIDITY = "conditions.humidity"
INTERVAL = "conditions.interval"


def judge_conditions(frame: Frame) -> Iterator[Finding]:
    """The findings on readings and mixes of every wet stage."""
    in_order = sorted(frame.job.conditions, key=when)
    readings = grouped(in_order, lambda reading: reading.body.stage)
    for stage in WET_STAGES:
        of_stage = readings.get(stage, [])
        judged = [found for reading in of_stage for found in judge_reading(frame, reading)]
        last = last_readings(frame, of_stage)
        for mix in frame.mixes.get(stage, ()):
            judged += judge_air_of_mix(frame, mix, last.at(mix))
        yield from judged
        told = {found.check for found in judged}
        for key in (DECK, AIR, MARGIN, HUMIDITY):
            if key not in told:
                yield finding(frame, key, stage=stage)
        yield from _judge_intervals(frame, stage)


def _holds_h(frame: Frame) -> float:
    return frame.specification.figures.reading_holds_h.value


def judge_reading(frame: Frame, reading: Recorded[Conditions]) -> Iterator[Finding]:
    """The findings on one reading of weather and deck, in whatever stage."""
    body, known = reading.body, frame.known.of_reading(reading.body.instruments)
    values = (
        (DECK, body.deck_c, known.deck_c),
        (AIR, body.air_c, known.air_c),
        (HUMIDITY, body.humidity_pct, known.humidity_pct),
    )
    for key, value, uncertainty in values:
        if value is not None:
            yield finding(
                frame,
                key,
                stage=body.stage,
                area=body.area,
                subject=reading.id,
                value=value,
                expanded_uncertainty=uncertainty,
                on=(reading,),
                remark=known.remark,
            )
    if body.deck_c is None or body.air_c is None or body.humidity_pct is None:
        return
    margin, remark = _margin(body.deck_c, body.air_c, body.humidity_pct)
    yield finding(
        frame,
        MARGIN,
        stage=body.stage,
        area=body.area,
        subject=reading.id,
        value=margin,
        expanded_uncertainty=None
        if margin is None
        else _margin_uncertainty(
            body.air_c, body.humidity_pct, known.deck_c, known.air_c, known.humidity_pct
        ),
        on=(reading,),
        remark=f"{remark} {known.remark}" if known.remark else remark,
    )


def _margin(deck_c: float, air_c: float, humidity_pct: float) -> tuple[float | None, str]:
    """The dew margin in K and the remark that shows how it came about."""
    try:
        dew_c = dew_point_c(air_c=air_c, humidity_pct=humidity_pct)
        margin_k = dew_margin_k(deck_c=deck_c, air_c=air_c, humidity_pct=humidity_pct)
    except DomainError as error:
        return None, f"The dew point cannot be reckoned: {error}"
    return margin_k, (
        f"Dew point {dew_c:.1f} °C from air {quantity_text(air_c, '°C')} and "
        f"{quantity_text(humidity_pct, '%')} relative humidity, deck {quantity_text(deck_c, '°C')}."
    ).replace("-", "−")


def _margin_uncertainty(
    air_c: float,
    humidity_pct: float,
    of_deck_k: float | None,
    of_air_k: float | None,
    of_humidity_pct: float | None,
) -> float | None:
    """Expanded uncertainty of a dew margin, K; None where that of any reading is not known."""
    if of_deck_k is None or of_air_k is None or of_humidity_pct is None:
        return None
    return dew_margin_uncertainty_k(
        air_c=air_c,
        humidity_pct=humidity_pct,
        deck_uncertainty_k=of_deck_k,
        air_uncertainty_k=of_air_k,
        humidity_uncertainty_pct=of_humidity_pct,
    )


def last_readings(frame: Frame, readings: Sequence[Recorded[Conditions]]) -> LastReadings:
    """The readings of a stage, of which the last holds for as long as the specification says."""
    return LastReadings(readings, timedelta(hours=_holds_h(frame)), frame.known)


def judge_air_of_mix(frame: Frame, mix: Recorded[Mix], air: Air) -> Iterator[Finding]:
    """The findings on deck and air at one mix.

    Args:
        frame: the job laid out for judging.
        mix: the mix.
        air: what the last reading says of the air, see `last_readings`.
    """
    body = mix.body
    on = (mix,) if air.reading is None else (mix, air.reading)
    of_deck = uncertainty_of(frame.known.of_mix.deck)
    of_margin = None
    if air.humidity_pct is None or air.air_c is None:
        margin = None
        holds = quantity_text(_holds_h(frame), "h")
        remark = f"No reading of air and humidity within {holds} before the mix."
    else:
        margin, remark = _margin(body.deck_c, air.air_c, air.humidity_pct)
        if margin is not None:
            of_margin = _margin_uncertainty(
                air.air_c,
                air.humidity_pct,
                of_deck,
                air.air_uncertainty_k,
                air.humidity_uncertainty_pct,
            )
    values = (
        (DECK, body.deck_c, of_deck, (mix,), frame.known.of_mix.deck_remark),
        (AIR, air.air_c, air.air_uncertainty_k, on, ""),
        (HUMIDITY, air.humidity_pct, air.humidity_uncertainty_pct, on, ""),
        (MARGIN, margin, of_margin, on, remark),
    )
    for key, value, uncertainty, entries, said in values:
        yield finding(
            frame,
            key,
            stage=body.stage,
            area=body.area,
            subject=body.mix,
            value=value,
            expanded_uncertainty=uncertainty,
            on=entries,
            remark=said,
        )


def _judge_intervals(frame: Frame, stage: Stage) -> Iterator[Finding]:
    """The longest gap between readings while wet work went on, for each area."""
    for area in frame.areas:
        mixes = frame.mixes_of(stage, area)
        here = frame.readings_of(stage, area)
        if not mixes or not here:
            if mixes or not frame.mixes.get(stage):
                yield finding(frame, INTERVAL, stage=stage, area=area)
            continue
        gap = _longest_gap(frame, stage, area, mixes, here)
        found = _interval_finding(frame, stage, area, gap)
        unread = _unread_day(frame, mixes, here)
        if unread is not None and found.verdict is Verdict.WITHIN:
            remark = f"No reading stands for the work of {frame.local_time(unread.at)}."
            found = finding(frame, INTERVAL, stage=stage, area=area, on=(unread,), remark=remark)
        yield found


def _interval_finding(frame: Frame, stage: Stage, area: str, gap: _Gap) -> Finding:
    """The judged length of a gap."""
    return finding(
        frame,
        INTERVAL,
        stage=stage,
        area=area,
        value=gap.length / timedelta(hours=1),
        expanded_uncertainty=0.0,
        on=(gap.first,) if gap.first is gap.second else (gap.first, gap.second),
        remark=f"The longest gap begins on {frame.local_time(gap.since)}.",
    )


def _unread_day(
    frame: Frame, mixes: Sequence[Recorded[Mix]], readings: Sequence[Recorded[Conditions]]
) -> Recorded[Mix] | None:
    """The first mix of a day without one reading before or during its work, however short that was.

    The time without a reading is then as long as the work, which says nothing for the work.
    """
    for of_day in grouped(mixes, lambda mix: frame.local_day(mix.at)).values():
        looks = _looks_of_day(frame, of_day, readings)
        if not any(isinstance(entry.body, Conditions) for _, entry in looks):
            return of_day[0]
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gap:
    """A time without a reading, and the readings or mixes between which it lies."""

    length: timedelta
    since: datetime
    first: Recorded[Body]
    second: Recorded[Body]


def _longest_gap(
    frame: Frame,
    stage: Stage,
    area: str,
    mixes: Sequence[Recorded[Mix]],
    readings: Sequence[Recorded[Conditions]],
) -> _Gap:
    """The longest time without a reading during wet work, and what bounds it.

    Wet work of a day lasts from its first mix until its last mix is emptied. A reading before the
    first mix counts as long as it still holds; interruptions are taken out.
    """
    worst = _Gap(length=timedelta(0), since=mixes[0].at, first=mixes[0], second=mixes[0])
    for of_day in grouped(mixes, lambda mix: frame.local_day(mix.at)).values():
        looks = _looks_of_day(frame, of_day, readings)
        for (since, first), (until, second) in pairwise(looks):
            length = until - since - _paused(frame, stage, area, since, until)
            if length > worst.length:
                worst = _Gap(length=length, since=since, first=first, second=second)
    return worst


def _looks_of_day(
    frame: Frame, mixes: Sequence[Recorded[Mix]], readings: Sequence[Recorded[Conditions]]
) -> list[tuple[datetime, Recorded[Body]]]:
    """The readings of one day's wet work in order, with its start and its end."""
    start, last = mixes[0].at, max(mixes, key=_emptied_at)
    opening = last_before(readings, start)
    if opening is None or start - opening.at > timedelta(hours=_holds_h(frame)):
        looks: list[tuple[datetime, Recorded[Body]]] = [(start, mixes[0])]
    else:
        looks = [(opening.at, opening)]
    end = _emptied_at(last)
    looks += [(reading.at, reading) for reading in readings if start < reading.at < end]
    return [*looks, (end, last)]


def _emptied_at(mix: Recorded[Mix]) -> datetime:
    return max(mix.at, mix.body.emptied_at or mix.at)


def _paused(frame: Frame, stage: Stage, area: str, first: datetime, second: datetime) -> timedelta:
    """How long work on an area was interrupted between two times; what overlaps counts once."""
    ended = [
        (max(first, found.body.from_), min(second, found.body.until))
        for found in frame.interruptions_of(stage, area)
        if found.body.until is not None
    ]
    paused, counted_to = timedelta(0), first
    for since, until in sorted(ended):
        paused += max(until - max(since, counted_to), timedelta(0))
        counted_to = max(counted_to, until)
    return paused

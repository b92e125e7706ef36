"""The conditions of each day of wet work in words: how warm the roof was, how far from dew, rain.

Every value is one that the assessment judged; nothing is reckoned here but least and most.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from qa.assess.conditions import DECK, HUMIDITY, MARGIN
from qa.assess.finding import Finding
from qa.assess.frame import grouped, when
from qa.packs.handover import plain_words as plain
from qa.packs.photo_rows import bay_words
from qa.packs.source import PackSource
from qa.record.kinds.readings import Cause
from qa.trade.conformity import Limits
from qa.trade.vocabulary import Stage

_CAUSES = {
    Cause.RAIN: "Rain stopped the work",
    Cause.WIND: "Wind stopped the work",
    Cause.COLD: "Cold stopped the work",
    Cause.HEAT: "Heat stopped the work",
    Cause.OTHER: "The work was stopped",
}


def weather_of(source: PackSource, stage: Stage) -> tuple[str, ...]:
    """One paragraph for each day on which the stage's weather was read."""
    entries = {entry.id: entry for entry in source.job.entries}
    judged = [
        found
        for found in source.assessment.of_stage(stage)
        if found.check in (DECK, MARGIN, HUMIDITY) and found.value is not None and found.entries
    ]
    frame = source.frame
    by_day = grouped(judged, lambda found: frame.local_day(entries[found.entries[0]].at))
    return tuple(_day(source, day, by_day[day]) for day in sorted(by_day))


def _day(source: PackSource, day: date, findings: Sequence[Finding]) -> str:
    by_check = grouped(findings, lambda found: found.check)
    said = []
    if deck := by_check.get(DECK):
        said.append(f"the roof surface was at {_range(deck)}{_asked(deck[0])}")
    if margin := by_check.get(MARGIN):
        least = min(margin, key=lambda found: found.value or 0.0)
        words = plain.owner_quantity(abs(least.value or 0.0), least.unit)
        side = "above" if (least.value or 0.0) >= 0 else "below"
        said.append(f"at its nearest it was {words} {side} the dew point{_asked(least)}")
    else:
        said.append("how far it was from dew was not recorded")
    if damp := by_check.get(HUMIDITY):
        said.append(f"the air held {_range(damp)} of the moisture it can hold{_asked(damp[0])}")
    return f"On {source.day_text(day)} {plain.listed(said)}."


def _range(findings: Sequence[Finding]) -> str:
    values = [found.value for found in findings if found.value is not None]
    return plain.owner_range(values, findings[0].unit)


def _asked(found: Finding) -> str:
    asked = plain.owner_limits(Limits(lower=found.lower, upper=found.upper), found.unit)
    return f" (asked for: {asked})" if asked else ""


def interruptions_of(source: PackSource, stage: Stage) -> Iterator[str]:
    """What stopped the work of a stage, for how long, and what was done to protect it."""
    for interruption in sorted(source.job.interruptions, key=when):
        body = interruption.body
        if body.stage is not stage:
            continue
        until = "; the record does not say until when"
        if body.until is not None:
            same_day = source.frame.local_day(body.until) == source.frame.local_day(body.from_)
            text = source.clock_text if same_day else source.time_text
            until = f" until {text(body.until)}"
        where = f" on {source.frame.area_name(body.area)}" if body.area else ""
        squares = ""
        if body.bays:
            squares = f" Squares that it met: {'; '.join(map(bay_words, body.bays))}."
        yield (
            f"{_CAUSES[body.cause]}{where} from {source.time_text(body.from_)}{until}. "
            f"What was done: “{plain.stopped(body.protection)}”{squares}"
        )

"""The deck's temperature when a mix is made: the last look at it, how old, and whether it moves."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from qa.assess.frame import when
from qa.record.job import Job, Recorded
from qa.record.kinds.readings import Conditions
from qa.record.kinds.supplies import Mix
from qa.trade.catalyst import DoseChart
from qa.trade.notation import number_text, quantity_text
from qa.trade.vocabulary import Stage

_SHORTEST_BETWEEN = timedelta(minutes=5)
"""Two looks closer to each other tell the thermometer's noise; project choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckLook:
    """One look at the deck's temperature.

    Attributes:
        deck_c: what was read, °C.
        at: when.
        stage: the stage that it was read for.
    """

    deck_c: float
    at: datetime
    stage: Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckLooks:
    """The last two looks at the deck that serve one stage.

    Attributes:
        stage: the stage that is mixed for.
        last: the last, or None.
        before: the one before it, or None.
        now: the time of asking.
        holds: how long a look serves a later mix.
    """

    stage: Stage
    last: DeckLook | None
    before: DeckLook | None
    now: datetime
    holds: timedelta

    @property
    def age(self) -> timedelta:
        """How long ago the last look was; nothing where it is dated ahead."""
        return timedelta(0) if self.last is None else max(self.now - self.last.at, timedelta(0))

    @property
    def in_force(self) -> DeckLook | None:
        """The last look, as long as it serves."""
        return self.last if self.last is not None and self.age <= self.holds else None

    @property
    def sentence(self) -> str:
        """The last look with its age in words: "13.0 °C, 25 min ago"."""
        if self.last is None:
            return "No deck temperature was read in this stage yet. Read it now."
        told = f"{self.last.deck_c:.1f} °C, {age_text(self.age)}".replace("-", "−")
        if self.last.stage is not self.stage:
            told = f"{told}, for the {self.last.stage.value}"
        if self.in_force is not None:
            return told
        serves = quantity_text(self.holds / timedelta(hours=1), "h")
        return f"{told}: too old, a reading serves {serves}. Read it again."

    def drift(self, chart: DoseChart) -> str:
        """What to say where the deck, going on as it went, has left its row of the chart by now.

        The line through the last two looks is drawn on to now; nothing is dosed by it.
        """
        last, before = self.in_force, self.before
        if last is None or before is None or last.at - before.at > self.holds:
            return ""
        between = last.at - before.at
        if between < _SHORTEST_BETWEEN:
            return ""
        by_now_c = last.deck_c + (last.deck_c - before.deck_c) * (self.age / between)
        if chart.row_at(by_now_c) == chart.row_at(last.deck_c):
            return ""
        went = f"from {number_text(before.deck_c)} to {quantity_text(last.deck_c, '°C')}"
        return (
            f"The deck went {went} in {span_text(between)}; by now it may be in another row of the "
            "chart. Read it again before you dose."
        )


def deck_looks(
    job: Job, stage: Stage, area: str | None, *, now: datetime, holds_h: float
) -> DeckLooks:
    """The last two looks at the deck that serve a stage.

    The deck is the same whatever was read for: a look of another stage serves as long as it holds.
    A mix counts as a look where its temperature was read anew: where it differs from the look that
    was in force, or where none was.

    Args:
        job: as it stands.
        stage: what is mixed for; its own looks count however old they are, to say that they are.
        area: the area that is laid; looks that name another one are passed over. None for any.
        now: the time.
        holds_h: how long a look serves, hours.
    """
    holds = timedelta(hours=holds_h)
    before: DeckLook | None = None
    last: DeckLook | None = None
    for entry in _serving(job, stage, area, since=now - holds):
        deck_c = entry.body.deck_c
        if deck_c is None:
            continue
        if isinstance(entry.body, Mix) and last is not None:
            is_same = deck_c == last.deck_c and entry.at - last.at <= holds
            if is_same:
                continue
        before, last = last, DeckLook(deck_c=deck_c, at=entry.at, stage=entry.body.stage)
    return DeckLooks(stage=stage, last=last, before=before, now=now, holds=holds)


def _serving(
    job: Job, stage: Stage, area: str | None, *, since: datetime
) -> list[Recorded[Conditions] | Recorded[Mix]]:
    entries: list[Recorded[Conditions] | Recorded[Mix]] = [*job.conditions, *job.mixes]
    areas = {None, area}
    chosen = [
        entry
        for entry in entries
        if (entry.body.stage is stage or entry.at >= since)
        and (area is None or entry.body.area in areas)
    ]
    return sorted(chosen, key=when)


def age_text(age: timedelta) -> str:
    """How long ago: "just now", "25 min ago", "1 h 5 min ago".

    >>> age_text(timedelta(minutes=65))
    '1 h 5 min ago'
    >>> age_text(timedelta(days=195, hours=7))
    '195 days ago'
    """
    if age >= timedelta(days=2):
        age = timedelta(days=age.days)
    return "just now" if age < timedelta(minutes=1) else f"{span_text(age)} ago"


def span_text(span: timedelta) -> str:
    """A length of time in whole minutes, hours and days.

    >>> span_text(timedelta(days=1, hours=3, minutes=4))
    '1 day 3 h'
    """
    minutes = int(span.total_seconds() // 60)
    days, minutes = divmod(minutes, 24 * 60)
    hours, minutes = divmod(minutes, 60)
    if days:
        return f"{days} day{'s' if days > 1 else ''}{f' {hours} h' if hours else ''}"
    if hours:
        return f"{hours} h{f' {minutes} min' if minutes else ''}"
    return f"{minutes} min"

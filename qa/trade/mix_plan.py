"""A day's mixes, planned so that each is emptied before it can gel.

A plan from a forecast and from gel times that are themselves estimates: it says how large a bucket
may be, never that a bucket is safe. Whoever mixes reads the deck's temperature again each time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import floor

from qa.errors import DomainError
from qa.trade.catalyst import DoseChart, DoseRow
from qa.trade.domain import require_aware, require_finite, require_positive
from qa.trade.gel_time import GelEstimate, GelModel

MOST_MIXES = 500
"""Longest plan; a longer one is a slip of units. Project choice."""

_WAIT = timedelta(minutes=5)
"""How far the clock steps on while the deck is too cold or too warm to mix."""

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """A deck temperature expected at a time.

    Attributes:
        at: the time, with an offset.
        deck_c: the temperature, °C, finite.

    Raises:
        DomainError: the time has no offset, or the temperature is not finite.
    """

    at: datetime
    deck_c: float

    def __post_init__(self) -> None:
        require_aware("time of a forecast", self.at)
        require_finite("deck temperature of a forecast, °C", self.deck_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """How a crew works.

    Attributes:
        pace_m2_per_h: area laid in an hour, m²/h, above nought.
        first_mix_m2: most that the first mix may cover, m², above nought.
        largest_mix_kg: what a bucket holds, kg, above nought.
        weighing_step_kg: masses are rounded down to whole steps, kg, above nought.

    Raises:
        DomainError: a figure lies outside its range.
    """

    pace_m2_per_h: float
    first_mix_m2: float
    largest_mix_kg: float
    weighing_step_kg: float = 0.1

    def __post_init__(self) -> None:
        require_positive("pace of the crew, m²/h", self.pace_m2_per_h)
        require_positive("area of the first mix, m²", self.first_mix_m2)
        require_positive("largest mix, kg", self.largest_mix_kg)
        require_positive("step of weighing, kg", self.weighing_step_kg)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedMix:
    """One mix of a plan.

    Attributes:
        number: from 1.
        starts_at: when the catalyst goes in.
        deck_c: deck temperature that is forecast for then, °C.
        kg: resin, kg.
        m2: area that it covers, m².
        catalyst_ml: catalyst by the chart's target, ml.
        emptied_at: when the crew will have laid it.
        empty_by: when it must be empty: the start plus the lower end of the gel time's band.
        gel: the estimate, at the warmest forecast until then.
    """

    number: int
    starts_at: datetime
    deck_c: float
    kg: float
    m2: float
    catalyst_ml: float
    emptied_at: datetime
    empty_by: datetime
    gel: GelEstimate


def plan_mixes(
    *,
    area_m2: float,
    resin_kg_per_m2: float,
    crew: Crew,
    start: datetime,
    end: datetime,
    forecast: Sequence[Forecast],
    chart: DoseChart,
    gel: GelModel,
) -> tuple[PlannedMix, ...]:
    """Return the mixes of a day, one after another, each emptied before it can gel.

    A mix begins when the one before is empty. Its dose is the chart's target at the temperature
    forecast for then. Its time is the lower end of the gel time's band for that dose, at the
    warmest temperature forecast until the time runs out. In it the crew lays pace * time square
    metres; the mix is as much resin as that takes, or the largest mix, or what is left of the
    area, and the first one covers at most the first mix's area. While the forecast lies outside
    the chart or outside what the gel times tell, no mix begins.

    Args:
        area_m2: area to be laid, m², above nought.
        resin_kg_per_m2: resin for a square metre, kg/m², above nought.
        crew: how the crew works.
        start: when the first mix may begin, with an offset.
        end: when the last must be empty, with an offset, after the start.
        forecast: temperatures joined by straight lines in time; before the first and after the
            last, none is guessed and no mix begins.
        chart: the dose chart.
        gel: the gel time's model.

    Returns:
        The mixes; their areas add up to less than the area where the day is too short for it.

    Raises:
        DomainError: a figure lies outside its range, the end is not after the start, or a mix
            would be smaller than one step of weighing.

    Source: arithmetic; dose and gel time are the specification's, the first mix of at most 2 m²
    is common practice, no source.

    >>> from qa.trade.gel_time import GelDomain, GelPoint
    >>> chart = DoseChart(
    ...     rows=(
    ...         DoseRow(
    ...             from_c=16, to_c=20, target_ml_per_kg=20, lower_ml_per_kg=17, upper_ml_per_kg=23
    ...         ),
    ...     )
    ... )
    >>> table = [
    ...     GelPoint(deck_c=c, dose_ml_per_kg=d, gel_min=t)
    ...     for c, d, t in ((15, 10, 74), (15, 20, 28), (20, 10, 48), (20, 20, 19))
    ... ]
    >>> wide = GelDomain(from_c=5, to_c=30, from_ml_per_kg=10, to_ml_per_kg=40)
    >>> nine = datetime(2026, 5, 12, 9, tzinfo=UTC)
    >>> mixes = plan_mixes(
    ...     area_m2=8.0,
    ...     resin_kg_per_m2=1.5,
    ...     crew=Crew(pace_m2_per_h=12.0, first_mix_m2=2.0, largest_mix_kg=10.0),
    ...     start=nine,
    ...     end=nine + timedelta(hours=8),
    ...     forecast=[Forecast(at=nine + timedelta(hours=h), deck_c=17.0) for h in (0, 8)],
    ...     chart=chart,
    ...     gel=GelModel.fit(table, domain=wide, spread_ratio=1.5),
    ... )
    >>> [(round(mix.m2, 2), round(mix.kg, 1), f"{mix.emptied_at:%H:%M}") for mix in mixes]
    [(2.0, 3.0, '09:10'), (3.13, 4.7, '09:25'), (2.87, 4.3, '09:40')]
    """
    require_positive("area to be laid, m²", area_m2)
    require_positive("resin for a square metre, kg/m²", resin_kg_per_m2)
    require_aware("start of the day", start)
    require_aware("end of the day", end)
    if end <= start:
        raise DomainError("end of the day", end.isoformat(), f"after {start.isoformat()}")
    in_order = tuple(sorted(forecast, key=lambda one: one.at))
    expected = _Expected(forecast=in_order, chart=chart, gel=gel)
    mixes: list[PlannedMix] = []
    clock, left_m2 = start, area_m2
    while clock < end and left_m2 > _ROUNDING * area_m2:
        bucket = expected.bucket_at(clock)
        if bucket is None:
            clock += _WAIT
            continue
        most_m2 = min(left_m2, crew.first_mix_m2) if not mixes else left_m2
        until = min(bucket.empty_by, end)
        mix = _mix(len(mixes) + 1, bucket, crew, most_m2, until, resin_kg_per_m2)
        if mix is None:
            break
        mixes.append(mix)
        clock, left_m2 = mix.emptied_at, left_m2 - mix.m2
        if len(mixes) > MOST_MIXES:
            raise DomainError("number of mixes", len(mixes), f"{MOST_MIXES} or fewer")
    return tuple(mixes)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bucket:
    """What holds for a mix that begins at one time, whatever its size."""

    starts_at: datetime
    deck_c: float
    row: DoseRow
    gel: GelEstimate
    empty_by: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class _Expected:
    """The forecast in order of time, and what chart and gel times make of it."""

    forecast: tuple[Forecast, ...]
    chart: DoseChart
    gel: GelModel

    def bucket_at(self, at: datetime) -> _Bucket | None:
        """Return what holds for a mix that begins now, or None where none may begin."""
        deck_c = self._deck_c(at)
        row = None if deck_c is None else self.chart.row_at(deck_c)
        if deck_c is None or row is None or not self._is_known(deck_c, row):
            return None
        at_start = self.gel.estimate(deck_c, row.target_ml_per_kg)
        warmest_c = self._warmest_c(at, at + timedelta(minutes=at_start.low_min))
        if not self._is_known(warmest_c, row):
            return None
        gel = self.gel.estimate(warmest_c, row.target_ml_per_kg)
        return _Bucket(
            starts_at=at,
            deck_c=deck_c,
            row=row,
            gel=gel,
            empty_by=at + timedelta(minutes=gel.low_min),
        )

    def _is_known(self, deck_c: float, row: DoseRow) -> bool:
        known = self.gel.domain
        dose = row.target_ml_per_kg
        return (
            known.from_c <= deck_c <= known.to_c
            and known.from_ml_per_kg <= dose <= known.to_ml_per_kg
        )

    def _deck_c(self, at: datetime) -> float | None:
        for before, after in pairwise(self.forecast):
            if before.at <= at <= after.at:
                whole = (after.at.astimezone(UTC) - before.at.astimezone(UTC)).total_seconds()
                share = (at.astimezone(UTC) - before.at.astimezone(UTC)).total_seconds()
                return before.deck_c + (after.deck_c - before.deck_c) * (share / (whole or 1.0))
        return None

    def _warmest_c(self, start: datetime, end: datetime) -> float:
        """Return the warmest forecast between two times; the line's corners and its ends."""
        between = [one.deck_c for one in self.forecast if start <= one.at <= end]
        ends = [found for at in (start, end) if (found := self._deck_c(at)) is not None]
        return max(between + ends)


def _mix(
    number: int,
    bucket: _Bucket,
    crew: Crew,
    most_m2: float,
    until: datetime,
    resin_kg_per_m2: float,
) -> PlannedMix | None:
    """Return the largest mix that will be empty in time; None where the day is over before."""
    hours = (until - bucket.starts_at) / timedelta(hours=1)
    wanted_kg = most_m2 * resin_kg_per_m2
    most_kg = min(wanted_kg, crew.largest_mix_kg, crew.pace_m2_per_h * hours * resin_kg_per_m2)
    kg = most_kg
    if most_kg < wanted_kg:
        step_kg = crew.weighing_step_kg
        kg = round(floor(most_kg / step_kg + _ROUNDING) * step_kg, 9)
    if kg <= 0.0:
        if until < bucket.empty_by:
            return None
        least = f"above {crew.weighing_step_kg / resin_kg_per_m2 / hours:.2g} to use one in time"
        raise DomainError("pace of the crew, m²/h", crew.pace_m2_per_h, least)
    m2 = kg / resin_kg_per_m2
    return PlannedMix(
        number=number,
        starts_at=bucket.starts_at,
        deck_c=bucket.deck_c,
        kg=kg,
        m2=m2,
        catalyst_ml=kg * bucket.row.target_ml_per_kg,
        emptied_at=bucket.starts_at + timedelta(hours=m2 / crew.pace_m2_per_h),
        empty_by=bucket.empty_by,
        gel=bucket.gel,
    )

"""Across jobs: the facts of many in order of time, on control charts.

A chart holds facts of one quantity, one specification and one way of making, never more; it may be
that of one person, lot or month besides. It says that something has changed, or stands off its
target, never that a roof is bad.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from qa.assess.fact import Fact, JobFacts, LeftOut, Quantity, Why
from qa.assess.frame import grouped
from qa.errors import DomainError
from qa.trade.control_charts import ControlChart, ewma_chart, individuals_charts
from qa.trade.count_charts import p_chart, u_chart
from qa.trade.run_rules import RunRule

RULES_OF_RARE_COUNTS = (
    RunRule.BEYOND_3_SIGMA,
    RunRule.SIX_RISING_OR_FALLING,
    RunRule.FOURTEEN_ALTERNATING,
)
"""Where most samples hold no fault, most lie below the mean: a long run there tells nothing."""


class Grouping(StrEnum):
    """By what facts are set apart before they are charted."""

    TOGETHER = "together"
    CREW = "crew"
    LOT = "lot"
    MONTH = "month"


class ChartKind(StrEnum):
    """The kinds of control chart that are drawn."""

    INDIVIDUALS = "individuals"
    MOVING_RANGES = "moving_ranges"
    EWMA = "ewma"
    U = "u"
    P = "p"


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupChart:
    """One chart of a group; point i of moving ranges lies between facts i and i + 1."""

    kind: ChartKind
    chart: ControlChart


@dataclass(frozen=True, slots=True, kw_only=True)
class FactGroup:
    """Facts that are of one sort.

    Attributes:
        specification: name and version.
        quantity: what they are.
        made_as: what else they have in common, such as the mat, or nothing.
        key: the person, lot or month; empty where facts are not set apart.
        facts: in order of time.
        charts: none where the group is too short for a chart.
    """

    specification: str
    quantity: Quantity
    made_as: str
    key: str
    facts: tuple[Fact, ...]
    charts: tuple[GroupChart, ...]

    @property
    def is_too_short(self) -> bool:
        """Whether there are too few facts for a chart."""
        return not self.charts

    @property
    def has_signal(self) -> bool:
        """Whether a rule has found something on any of its charts."""
        return any(drawn.chart.signals for drawn in self.charts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Many jobs beside each other.

    Attributes:
        by: by what facts were set apart.
        least_points: how many facts a chart needed.
        jobs: references of the jobs.
        groups: by specification, quantity, way of making and key.
        left_out: what could not be compared.
    """

    by: Grouping
    least_points: int
    jobs: tuple[str, ...]
    groups: tuple[FactGroup, ...]
    left_out: tuple[LeftOut, ...]


def compare(jobs: Iterable[JobFacts], *, by: Grouping, least_points: int) -> Comparison:
    """The facts of jobs, grouped, in order of time, charted.

    Args:
        jobs: what each job has to tell, see `qa.assess.gleaning.glean`.
        by: by what facts are set apart besides specification, quantity and way of making.
        least_points: how many facts a chart needs, 2 or more.

    Raises:
        DomainError: fewer than 2 points.
    """
    if least_points < 2:
        raise DomainError("number of points that a chart needs", least_points, "2 or more")
    jobs = tuple(jobs)
    facts = sorted((fact for job in jobs for fact in job.facts), key=_time)
    keyed = grouped(facts, lambda fact: _sort(fact, _KEYS[by](fact)))
    return Comparison(
        by=by,
        least_points=least_points,
        jobs=tuple(job.job for job in jobs),
        groups=tuple(
            _group(key, alike, least_points)
            for (*_, key), alike in sorted(keyed.items(), key=lambda pair: _order(pair[0]))
            if key is not None
        ),
        left_out=(
            *(left for job in jobs for left in job.left_out),
            *_without_key(facts, by),
        ),
    )


_KEYS: Mapping[Grouping, Callable[[Fact], str | None]] = {
    Grouping.TOGETHER: lambda _: "",
    Grouping.CREW: lambda fact: fact.crew,
    Grouping.LOT: lambda fact: fact.lot,
    Grouping.MONTH: lambda fact: fact.month,
}
_WHY = {Grouping.CREW: Why.NO_CREW, Grouping.LOT: Why.NO_LOT}
_QUANTITIES = tuple(Quantity)
_Sort = tuple[str, str, Quantity, str, str | None]


def _time(fact: Fact) -> tuple[object, ...]:
    return (fact.at, fact.source.job, fact.position, fact.subject)


def _sort(fact: Fact, key: str | None) -> _Sort:
    source = fact.source
    return (
        source.specification,
        source.specification_sha256,
        fact.quantity,
        fact.made_as,
        key,
    )


def _order(sort: _Sort) -> tuple[object, ...]:
    specification, sha256, quantity, made_as, key = sort
    return (specification, sha256, _QUANTITIES.index(quantity), made_as, key or "")


def _without_key(facts: Iterable[Fact], by: Grouping) -> Iterator[LeftOut]:
    """Facts that should have a key; photos and lateness are of no lot, which is no gap."""
    for fact in facts:
        if _KEYS[by](fact) is None and not (by is Grouping.LOT and fact.quantity.is_share):
            yield LeftOut(
                job=fact.source.job, quantity=fact.quantity, subject=fact.subject, why=_WHY[by]
            )


def _group(key: str, facts: Sequence[Fact], least_points: int) -> FactGroup:
    first = facts[0]
    enough = len(facts) >= least_points
    return FactGroup(
        specification=first.source.specification,
        quantity=first.quantity,
        made_as=first.made_as,
        key=key,
        facts=tuple(facts),
        charts=tuple(_charts(first.quantity, facts)) if enough else (),
    )


def _charts(quantity: Quantity, facts: Sequence[Fact]) -> Iterator[GroupChart]:
    if not quantity.is_counted:
        yield from _charts_of_values(facts)
        return
    samples = [fact.sample for fact in facts if fact.sample is not None]
    counts = [sample.count for sample in samples]
    if quantity.is_share:
        of = [int(sample.size) for sample in samples]
        yield GroupChart(kind=ChartKind.P, chart=p_chart(counts, of, RULES_OF_RARE_COUNTS))
    else:
        sizes = [sample.size for sample in samples]
        yield GroupChart(kind=ChartKind.U, chart=u_chart(counts, sizes, RULES_OF_RARE_COUNTS))


def _charts_of_values(facts: Sequence[Fact]) -> Iterator[GroupChart]:
    """Individuals about their own mean, their moving ranges, and their average about the target."""
    values = [fact.value for fact in facts]
    both = individuals_charts(values)
    yield GroupChart(kind=ChartKind.INDIVIDUALS, chart=both.individuals)
    yield GroupChart(kind=ChartKind.MOVING_RANGES, chart=both.moving_ranges)
    target, sigma = facts[0].target, both.individuals.sigmas[0]
    if target is not None and sigma > 0.0:
        average = ewma_chart(values, target=target, sigma=sigma)
        yield GroupChart(kind=ChartKind.EWMA, chart=average)

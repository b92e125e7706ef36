"""A comparison of jobs in words for a supervisor, and as JSON."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from qa.assess.across import ChartKind, Comparison, FactGroup, GroupChart, Grouping
from qa.assess.fact import Fact, Quantity
from qa.assess.frame import grouped
from qa.services.comparing import SETTLED_POINTS
from qa.trade.notation import number_text, unit_text
from qa.trade.run_rules import RunRule, Signal

MOST_SHOWN = 6
"""Points of one rule that the text names; JSON has all."""

_TITLES = {
    Quantity.RESIN: "Resin laid on an area",
    Quantity.RESIN_OF_BAYS: "Resin laid on groups of bays",
    Quantity.TOPCOAT: "Topcoat laid on an area",
    Quantity.DOSE_ERROR: "Dose error",
    Quantity.PINHOLES: "Pinholes at the first look",
    Quantity.PHOTOS_MISSING: "Photos missing of those asked for",
    Quantity.LATE: "Entries recorded late",
}
CHART_WORDS = {
    ChartKind.INDIVIDUALS: "Figures",
    ChartKind.MOVING_RANGES: "Steps",
    ChartKind.EWMA: "Average",
    ChartKind.U: "Counts",
    ChartKind.P: "Shares",
}
"""What each kind of chart shows, in one word."""
_LEGEND = """
Limits lie 3 sigma from the centre; sigma is the spread of one point. Figures are held to their own
mean, steps are from each figure to the next, the average gives the newest most weight and is held
to the target. A signal says that something has changed or stands off its target: look for the
cause. It is no verdict on a roof."""


def drift_text(comparison: Comparison) -> str:
    """The comparison in words, group by group."""
    return "\n".join(_lines(comparison)) + "\n"


def _lines(comparison: Comparison) -> Iterator[str]:
    number = len(comparison.jobs)
    by = "" if comparison.by is Grouping.TOGETHER else f", by {comparison.by.value}"
    yield f"{number} {'job' if number == 1 else 'jobs'}{by}: {_summary(comparison.groups)}"
    charted = [group for group in comparison.groups if not group.is_too_short]
    for group in charted:
        yield ""
        yield from _group_lines(group)
    short = [group for group in comparison.groups if group.is_too_short]
    if short:
        yield f"\nToo few points for a chart, which needs {comparison.least_points}"
        yield from (f"  {group_title(group)}: {points_text(group.facts)}" for group in short)
    if comparison.left_out:
        yield "\nNot compared"
        yield from _left_out_lines(comparison)
    if charted:
        yield _LEGEND


def _summary(groups: Sequence[FactGroup]) -> str:
    if not groups:
        return "nothing to compare"
    charted = [group for group in groups if not group.is_too_short]
    signalled = sum(group.has_signal for group in charted)
    short = len(groups) - len(charted)
    told = f"a signal in {signalled} of {len(charted)} groups with a chart"
    return f"{told}; {short} too short for one" if short else told


def group_title(group: FactGroup) -> str:
    """What a group's facts are, how they were made, whose they are, and by what they are judged."""
    parts = (_TITLES[group.quantity], group.made_as, group.key)
    return f"{', '.join(part for part in parts if part)} ({group.specification})"


def _group_lines(group: FactGroup) -> Iterator[str]:
    yield group_title(group)
    trial = "; limits on trial" if len(group.facts) < SETTLED_POINTS else ""
    yield f"  Points    {points_text(group.facts)}{trial}"
    if group.facts[0].target is not None:
        yield f"  Target    {_value(group.quantity, group.facts[0].target)}"
    for drawn in group.charts:
        yield f"  {CHART_WORDS[drawn.kind]:<10}{limits_text(group.quantity, drawn)}"
        yield from (f"    {line}" for line in signal_lines(group, drawn))
    if not group.has_signal:
        yield "  no signal"


def points_text(facts: Sequence[Fact]) -> str:
    """How many points there are, of how many jobs, and from when to when."""
    jobs = len({fact.source.job for fact in facts})
    whose = "1 job" if jobs == 1 else f"{jobs} jobs"
    first, last = _day(facts[0]), _day(facts[-1])
    when = first if first == last else f"{first} to {last}"
    return f"{len(facts)} of {whose}, {when}"


def limits_text(quantity: Quantity, drawn: GroupChart) -> str:
    """Centre and limits; where the limits go with the size of a sample, their reach."""
    chart = drawn.chart
    centre = _value(quantity, chart.centre)
    if not any(chart.sigmas):
        return f"no spread, all {centre}"
    lower, upper = (_reach(quantity, limits) for limits in (chart.lower, chart.upper))
    varies = " by the size of the sample" if len({*chart.upper}) > 1 else ""
    return f"centre {centre}, limits {lower} and {upper}{varies}"


def _reach(quantity: Quantity, limits: Sequence[float]) -> str:
    least, most = _value(quantity, min(limits)), _value(quantity, max(limits))
    return most if least == most else f"{least} … {most}"


def signal_lines(group: FactGroup, drawn: GroupChart) -> Iterator[str]:
    """What the rules found on a chart: each rule, then the places, indented."""
    by_rule = grouped(drawn.chart.signals, lambda signal: signal.rule)
    for rule, signals in by_rule.items():
        told = [_signal_text(group, drawn, signal) for signal in signals]
        shown = told if len(told) <= MOST_SHOWN else told[: MOST_SHOWN - 1]
        yield f"{_rule_text(rule)}:"
        yield from (f"  {text}" for text in shown)
        if len(told) > len(shown):
            yield f"  and {len(told) - len(shown)} more"


def _rule_text(rule: RunRule) -> str:
    return rule.value[0].upper() + rule.value[1:]


def _signal_text(group: FactGroup, drawn: GroupChart, signal: Signal) -> str:
    first, last = signal.points[0], signal.points[-1]
    where = _span(group.facts[first], _last_fact(group, drawn, last))
    if len(signal.points) > 1:
        return f"{len(signal.points)} points, {where}"
    return f"{_value(group.quantity, drawn.chart.points[first])} at {where}"


def _last_fact(group: FactGroup, drawn: GroupChart, point: int) -> Fact:
    """The fact at which a point ends: a step ends at the next one."""
    return group.facts[point + (drawn.kind is ChartKind.MOVING_RANGES)]


def _span(first: Fact, last: Fact) -> str:
    """From one fact to another; job and day are said once where they are the same."""
    start, end = _place(first), _place(last)
    if first is last:
        return f"{start} {first.subject}"
    return f"{start} {first.subject} to {'' if start == end else f'{end} '}{last.subject}"


def _place(fact: Fact) -> str:
    return f"{fact.source.job}, {_day(fact)},"


def _day(fact: Fact) -> str:
    return f"{fact.at:%d %B %Y}".lstrip("0")


def _value(quantity: Quantity, value: float) -> str:
    if quantity.is_share:
        return f"{number_text(round(100.0 * value, 1), 3)} %"
    unit = unit_text(quantity.unit)
    decimals = 1 if quantity is Quantity.DOSE_ERROR else 3
    return f"{number_text(round(value, decimals), 3)} {unit}"


def _left_out_lines(comparison: Comparison) -> Iterator[str]:
    counted = Counter((left.quantity, left.why) for left in comparison.left_out)
    for (quantity, why), number in counted.items():
        yield f"  {_TITLES[quantity]}, {number} in all: {why.value}"


def drift_json(comparison: Comparison) -> str:
    """The comparison as JSON; points of signals count from 0."""
    answer = {
        "by": comparison.by.value,
        "least_points": comparison.least_points,
        "jobs": list(comparison.jobs),
        "groups": [_group(group) for group in comparison.groups],
        "left_out": [
            {
                "job": left.job,
                "quantity": left.quantity.value,
                "subject": left.subject,
                "why": left.why.value,
            }
            for left in comparison.left_out
        ],
    }
    return json.dumps(answer, ensure_ascii=False, indent=1) + "\n"


def _group(group: FactGroup) -> dict[str, Any]:
    return {
        "specification": group.specification,
        "quantity": group.quantity.value,
        "unit": group.quantity.unit,
        "made_as": group.made_as,
        "key": group.key,
        "is_too_short": group.is_too_short,
        "facts": [_fact(fact) for fact in group.facts],
        "charts": [_chart(drawn) for drawn in group.charts],
    }


def _fact(fact: Fact) -> dict[str, Any]:
    sample = fact.sample
    return {
        "job": fact.source.job,
        "subject": fact.subject,
        "at": fact.at.isoformat(),
        "value": fact.value,
        "target": fact.target,
        "count": None if sample is None else sample.count,
        "size": None if sample is None else sample.size,
        "crew": fact.crew,
        "lot": fact.lot,
    }


def _chart(drawn: GroupChart) -> dict[str, Any]:
    chart = drawn.chart
    return {
        "chart": drawn.kind.value,
        "centre": chart.centre,
        "points": list(chart.points),
        "lower": list(chart.lower),
        "upper": list(chart.upper),
        "signals": _signals(chart.signals),
    }


def _signals(signals: Iterable[Signal]) -> list[dict[str, Any]]:
    return [{"rule": signal.rule.value, "points": list(signal.points)} for signal in signals]

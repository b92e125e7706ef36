"""Across the jobs: control charts of doses, rates, pinholes and lateness, by crew, lot or month."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from flask import request, url_for

from qa.assess.across import FactGroup, Grouping
from qa.services.comparing import LEAST_POINTS
from qa.services.comparing_text import (
    CHART_WORDS,
    group_title,
    limits_text,
    points_text,
    signal_lines,
)
from qa.services.drifting import MOST_JOBS, drift
from qa.texts.saying import to_say
from qa.web.desk.chart import ChartDrawing, draw_chart
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page

MOST_GROUPS = 12
"""Groups that are drawn; those with a signal come first."""
_WAYS = {
    Grouping.TOGETHER: to_say("All together"),
    Grouping.CREW: to_say("By crew"),
    Grouping.LOT: to_say("By lot"),
    Grouping.MONTH: to_say("By month"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of setting facts apart."""

    address: str
    text: str
    is_here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SignalView:
    """A rule, and where it found something."""

    rule: str
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnChart:
    """A chart with what it says.

    Attributes:
        signals: what the rules found, in words; none where they found nothing.
    """

    word: str
    limits: str
    drawing: ChartDrawing
    signals: tuple[SignalView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupView:
    """A group of alike facts."""

    title: str
    points: str
    charts: tuple[DrawnChart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftPage:
    """The charts.

    Attributes:
        others: groups with a chart that are not drawn here.
        short: how many groups are too short for a chart, and how many points one needs.
    """

    ways: tuple[Way, ...]
    jobs: int
    most_jobs: int
    groups: tuple[GroupView, ...]
    others: tuple[str, ...]
    short: int
    least: int


@blueprint.get("/desk/drift", endpoint="drift")
def show_drift() -> str:
    """The firm's newest jobs beside each other."""
    by = _grouping(request.args.get("by", ""))
    found = drift(house(), actor(), by=by)
    charted = sorted(
        (group for group in found.groups if not group.is_too_short),
        key=lambda group: not group.has_signal,
    )
    page = DriftPage(
        ways=tuple(
            Way(address=url_for("desk.drift", by=way.value), text=text, is_here=way is by)
            for way, text in _WAYS.items()
        ),
        jobs=len(found.jobs),
        most_jobs=MOST_JOBS,
        groups=tuple(map(_group, charted[:MOST_GROUPS])),
        others=tuple(map(group_title, charted[MOST_GROUPS:])),
        short=len(found.groups) - len(charted),
        least=LEAST_POINTS,
    )
    return render_page("desk/drift.html", page)


def _grouping(word: str) -> Grouping:
    """The way that was asked for; what is none is all together."""
    return Grouping(word) if word in set(Grouping) else Grouping.TOGETHER


def _group(group: FactGroup) -> GroupView:
    title = group_title(group)
    return GroupView(
        title=title,
        points=points_text(group.facts),
        charts=tuple(
            DrawnChart(
                word=CHART_WORDS[drawn.kind],
                limits=limits_text(group.quantity, drawn),
                drawing=draw_chart(drawn.chart, f"{CHART_WORDS[drawn.kind]}: {title}"),
                signals=tuple(_signals(signal_lines(group, drawn))),
            )
            for drawn in group.charts
        ),
    )


def _signals(lines: Iterable[str]) -> Iterator[SignalView]:
    """Each rule with its places, which stand indented below it."""
    rule, places = "", list[str]()
    for line in (*lines, ""):
        if line.startswith(" "):
            places.append(line.strip())
            continue
        if rule:
            yield SignalView(rule=rule, places=tuple(places))
        rule, places = line.rstrip(":"), []

"""Where a check can be answered: the job, an area, all its edges of a kind at once, one edge."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from qa.assess.frame import Frame, LaidArea, grouped
from qa.assess.recorded import edge_limits
from qa.specification.model import Check, Per
from qa.texts.saying import say, to_say
from qa.trade.conformity import Limits
from qa.trade.vocabulary import EdgeKind
from qa.web.roof.wording import edge_text


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPlace:
    """One place that an answer may be for.

    Attributes:
        value: by which a form names it.
        label: as it is read.
        area: the area's key, or None for all areas.
        edges: keys of the edges that get an entry each; none where one entry stands for the area.
        limits: that hold there.
    """

    value: str
    label: str
    area: str | None
    edges: tuple[str, ...]
    limits: Limits


def check_places(frame: Frame, check: Check) -> tuple[CheckPlace, ...]:
    """Every place at which a check can be answered, the most general of an area first."""
    if check.per is Per.JOB:
        return (_whole(check, None, say("The whole roof")),)
    if check.per is Per.EDGE:
        return tuple(
            place for area in frame.areas.values() for place in _edge_places(frame, check, area)
        )
    areas = list(frame.areas.values())
    places = [_whole(check, area.body.area, area.body.name) for area in areas]
    if len(areas) > 1 and check.per is Per.AREA:
        places.append(_whole(check, None, say("All areas")))
    return tuple(places)


def _whole(check: Check, area: str | None, label: str) -> CheckPlace:
    return CheckPlace(
        value=place_value(area), label=label, area=area, edges=(), limits=check.limits
    )


def _edge_places(frame: Frame, check: Check, area: LaidArea) -> Iterator[CheckPlace]:
    limits = edge_limits(frame, check, area)
    name = f", {area.body.name}" if len(frame.areas) > 1 else ""
    alike = grouped(limits, lambda edge: limits[edge])
    for same, edges in alike.items():
        if len(edges) > 1:
            # Where one limit holds for all, one entry for the area answers for every edge.
            own = () if len(alike) == 1 else tuple(edges)
            yield _place(area, own, f"{_all(area, edges)}{name}", same)
    for edge, own_limits in limits.items():
        yield _place(area, (edge,), f"{edge_text(area.edges[edge])}{name}", own_limits)


def _place(area: LaidArea, edges: tuple[str, ...], label: str, limits: Limits) -> CheckPlace:
    key = area.body.area
    return CheckPlace(
        value=place_value(key, *edges), label=label, area=key, edges=edges, limits=limits
    )


def place_value(area: str | None, *edges: str) -> str:
    """A place as a form sends it."""
    return json.dumps([area, *edges], ensure_ascii=False)


def area_and_edge(value: str | None) -> tuple[str | None, str | None]:
    """The area of a place that a form sent, and its edge where it is one edge alone."""
    try:
        parts = json.loads(value or "")
    except ValueError:
        return None, None
    if not isinstance(parts, list) or not all(isinstance(part, str) for part in parts):
        return None, None
    return (parts or [None])[0], parts[1] if len(parts) == 2 else None


def _all(area: LaidArea, edges: Sequence[str]) -> str:
    """Edges by their kinds: "All 3 drip edges", "Both edges"."""
    kinds = {area.edges[edge].kind for edge in edges}
    word = _SEVERAL[kinds.pop()] if len(kinds) == 1 else say("edges")
    if len(edges) == 2:
        return say("Both %(edges)s", edges=word)
    return say("All %(number)s %(edges)s", number=len(edges), edges=word)


_SEVERAL: Mapping[EdgeKind, str] = MappingProxyType(
    {
        EdgeKind.DRIP_EDGE: to_say("drip edges"),
        EdgeKind.RAISED_EDGE: to_say("raised edges"),
        EdgeKind.WALL_FILLET: to_say("wall fillets"),
        EdgeKind.FLASHING: to_say("flashings"),
    }
)

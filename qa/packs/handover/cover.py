"""The cover: what it is about, for whom, by whom, the roof to scale, which edition."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil

from markupsafe import Markup

from qa.assess.stages import work_by_stage
from qa.packs.chapters import Chapter
from qa.packs.cutting import cut
from qa.packs.drawing.ink import Lettering
from qa.packs.drawing.lettering import width_mm
from qa.packs.handover.plain_words import Fact, listed
from qa.packs.handover.story import span_text
from qa.packs.plans import roof_plan
from qa.packs.source import PackSource, disclosed
from qa.trade.notation import number_text
from qa.trade.vocabulary import Stage

KIND = "Handover pack"
_PLAN_HEIGHTS_MM = (100.0, 90.0, 80.0, 70.0, 60.0, 50.0, 40.0)
_LONGEST_TITLE = 150
_LONG_TITLE = 48
_LONGEST_FACT = 170

# The measures of the style sheet, mm: the cover must not run over, or the second page would be the
# third.
_COVER_MM = 230.0
_FURNITURE_MM = 68.0
_TITLE_WIDTH_MM, _FACT_WIDTH_MM = 146.0, 126.0
_TITLE_LINE_MM, _LONG_TITLE_LINE_MM = 13.1, 8.9
_FACT_LINE_MM, _FACT_GAP_MM = 4.6, 2.6

_INVENTED = re.compile(r"\b(invented|fictitious|demo|demonstration|sample)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverContext:
    """What the cover shows.

    Attributes:
        job_line: the running head of every page.
        edition_line: the foot of every page.
        is_long: whether the title is set smaller.
        is_invented: whether the record itself says that it is an example.
    """

    kind: str
    title: str
    is_long: bool
    plan: Markup
    facts: tuple[Fact, ...]
    job_line: str
    edition_line: str
    dated: str
    zone: str
    is_invented: bool


def cover(source: PackSource) -> Chapter:
    """The cover; it never takes more than one page."""
    opening = source.job.opening.body
    title = cut(opening.title, _LONGEST_TITLE)
    facts = tuple(
        Fact(label=label, text=cut(text, _LONGEST_FACT)) for label, text in _facts(source)
    )
    context = CoverContext(
        kind=KIND,
        title=title,
        is_long=len(title) > _LONG_TITLE,
        plan=_plan(source, _room_mm(title, facts)),
        facts=facts,
        job_line=cut(f"{opening.job}, {opening.title}", 64),
        edition_line=f"{KIND}, {source.edition}",
        dated=source.day_text(source.dated),
        zone=opening.time_zone,
        is_invented=is_invented(source),
    )
    return Chapter(key="cover", title=KIND, template="packs/handover/cover.html", context=context)


def is_invented(source: PackSource) -> bool:
    """Whether the job's title or its firm's name says that the job is an example."""
    opening = source.job.opening.body
    return bool(_INVENTED.search(f"{opening.title} {opening.firm.name}"))


def _facts(source: PackSource) -> list[tuple[str, str]]:
    opening = source.job.opening.body
    firm = opening.firm
    areas = [
        f"{area.body.name}, {number_text(area.roof.net_area_m2, 3)} m²"
        for area in source.frame.areas.values()
    ]
    return [
        ("Made for", disclosed(opening.client.name, "name withheld")),
        ("The roof is at", disclosed(opening.site.address, "address withheld")),
        ("Parts of the roof", "; ".join(areas) or "none recorded"),
        ("Made by", f"{firm.name}, {firm.address}" if firm.address else firm.name),
        ("Work on the roof", _dates(source)),
        *[("Handed over to", _handed_over(source))][: len(source.job.handovers)],
    ]


def _dates(source: PackSource) -> str:
    work = [entry.at for stage in Stage for entry in work_by_stage(source.job)[stage]]
    return span_text(source, min(work), max(work)) if work else "no work recorded"


def _handed_over(source: PackSource) -> str:
    return listed(
        [f"{given.body.to}, {source.day_text(given.at)}" for given in source.job.handovers]
    )


def _room_mm(title: str, facts: tuple[Fact, ...]) -> float:
    """The height that title and facts leave for the plan, mm."""
    is_long = len(title) > _LONG_TITLE
    face = Lettering(size_pt=21 if is_long else 34)
    title_lines = ceil(width_mm(title, face) / _TITLE_WIDTH_MM)
    fact_lines = [ceil(width_mm(f.text, Lettering(size_pt=9)) / _FACT_WIDTH_MM) for f in facts]
    return (
        _COVER_MM
        - _FURNITURE_MM
        - title_lines * (_LONG_TITLE_LINE_MM if is_long else _TITLE_LINE_MM)
        - sum(lines * _FACT_LINE_MM + _FACT_GAP_MM for lines in [*fact_lines, 1, 1])
    )


def _plan(source: PackSource, room_mm: float) -> Markup:
    """The plan at the largest height at which it fits with its scale bar and notes."""
    drawn = Markup("")
    for height_mm in _PLAN_HEIGHTS_MM:
        drawn = roof_plan(source, height_mm=height_mm)
        if _height_mm(drawn) <= room_mm:
            break
    return drawn


def _height_mm(drawing: Markup) -> float:
    found = re.search(r'height="([0-9.]+)mm"', drawing)
    return float(found[1]) if found else 0.0

"""The packs' own plans and charts of a job, in the ink of the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from qa.packs.drawing.ink import ACCENT, FAINT, INK, MUTED, PAPER, TINT
from qa.packs.source import PackSource
from qa.packs.warranty.bays import bays
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.conditions import conditions
from qa.packs.warranty.consumption import consumption
from qa.packs.warranty.mixes import mixes
from qa.services.packing import PROGRAM
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.web.desk.kept import KeptByHead

_INKS = {
    INK: "var(--ink)", MUTED: "var(--soft)", FAINT: "var(--line)", TINT: "var(--ground)",
    ACCENT: "var(--accent)", PAPER: "var(--paper)",
}  # fmt: skip
_INK = re.compile("|".join(re.escape(f'"{colour}"') for colour in _INKS))
_OF_PAPER = re.compile(r' width="[0-9.]+mm" height="[0-9.]+mm"| style="[^"]*"')


@dataclass(frozen=True, slots=True, kw_only=True)
class JobChart:
    """Drawings of one subject; a long one comes in parts."""

    key: str
    title: str
    drawings: tuple[Markup, ...]


def _draw(read: ReadJob) -> tuple[JobChart, ...]:
    source = PackSource(
        record=read.record,
        job=read.job,
        specification=read.specification,
        specification_bytes=read.specification_bytes,
        assessment=read.assessment,
        photos={},
        program=PROGRAM,
    )
    return tuple(_charts(source))


job_charts = KeptByHead(_draw)
"""Bays, conditions, doses and consumption; what the job has nothing of is left out."""


def _charts(source: PackSource) -> Iterator[JobChart]:
    citing, job = Citing(source), source.job
    if job.areas:
        yield _chart("bays", say("The bays"), bays(source, citing).plan)
    if job.conditions:
        drawn = conditions(source, citing).charts
        yield _chart("conditions", say("Conditions, with the dew margin"), *drawn)
    if job.mixes:
        yield _chart("doses", say("Doses on the chart"), mixes(source, citing).plot)
    if job.areas and job.mixes:
        yield _chart("consumption", say("Consumption"), *consumption(source).charts)


def _chart(key: str, title: str, *drawings: Markup) -> JobChart:
    return JobChart(key=key, title=title, drawings=tuple(map(in_page_ink, drawings)))


def in_page_ink(drawing: Markup) -> Markup:
    """A drawing as wide as its place, in colours that follow sun and dark.

    What people typed is escaped in it, quotation marks too, so that no word of theirs is a colour.
    """
    end = drawing.index(">")
    head = _OF_PAPER.sub("", str(drawing[:end]))
    html = f"{head}{drawing[end:]}"
    return Markup(_INK.sub(lambda found: f'"{_INKS[found[0][1:-1]]}"', html))  # noqa: S704

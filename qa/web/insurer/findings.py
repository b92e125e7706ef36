"""What was outside its limits or could not be decided, each led to the entries it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flask import url_for

from qa.assess.finding import Finding
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.trade.conformity import Verdict
from qa.web.roof.wording import Judged, area_text, begun, judged, stage_title

MOST_LINKED = 4
"""Entries that a finding leads to; each leads on to its neighbours."""
_TOLD = (Verdict.OUTSIDE, Verdict.UNDECIDED)


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRow:
    """One finding.

    Attributes:
        text: what was judged.
        place: stage, area, bay and the rest.
        is_open: whether it is outside its limits, neither put right nor conceded.
        entries: those that it rests on, the first few: a label and an address each.
    """

    text: str
    place: str
    judged: Judged
    is_open: bool
    entries: tuple[tuple[str, str], ...]


def found_rows(read: ReadJob, token: str) -> tuple[FoundRow, ...]:
    """Every finding that is not within its limits, what is open first."""
    told = [found for found in read.assessment.findings if found.verdict in _TOLD]
    told.sort(key=lambda found: (not found.is_open, found.verdict is Verdict.UNDECIDED))
    numbers = {entry.id: number for number, entry in enumerate(read.job.entries)}
    return tuple(_row(read, found, numbers, token) for found in told)


def gravest_by_entry(read: ReadJob) -> Mapping[str, Judged]:
    """For each entry what makes it stand out, what is open before what was settled."""
    gravest: dict[str, Finding] = {}
    for found in read.assessment.findings:
        for entry in found.entries[:1] if found.verdict in _TOLD else ():
            if entry not in gravest or (found.is_open and not gravest[entry].is_open):
                gravest[entry] = found
    return {entry: judged(found) for entry, found in gravest.items()}


def _row(read: ReadJob, found: Finding, numbers: Mapping[str, int], token: str) -> FoundRow:
    where = (
        stage_title(read, found.stage),
        area_text(read.job, found.area),
        say("bay %(bay)s", bay=found.bay) if found.bay else "",
        "" if found.subject in numbers else found.subject,
    )
    return FoundRow(
        text=begun(found.telling.check.quantity),
        place=", ".join(filter(None, where)),
        judged=judged(found),
        is_open=found.is_open,
        entries=tuple(_links(found, numbers, token)),
    )


def _links(found: Finding, numbers: Mapping[str, int], token: str) -> Iterator[tuple[str, str]]:
    for entry in found.entries[:MOST_LINKED]:
        address = url_for("insurer.entry", reader_token=token, entry=entry)
        yield say("Entry No. %(number)s", number=numbers[entry]), address

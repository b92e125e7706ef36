"""What may be done about a finding: looked at again, or its nonconformity opened or raised."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.nonconformities import CLOSED, Case, cases
from qa.assess.recorded import ANSWERED
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.trade.vocabulary import Stage

NAMED = ("stage", "check", "area", "bay", "subject")
"""What a nonconformity may name, by which it is tied to findings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """The way to the nonconformity about a finding.

    Attributes:
        text: what the way is called.
        address: of the open nonconformity, or of the page that raises one.
        is_open: whether one is open already.
    """

    text: str
    address: str
    is_open: bool


def remedy(job: str, found: Finding, known: Iterable[Case]) -> Remedy | None:
    """The way to what is done about a finding; none where it tells of nonconformities itself.

    Args:
        job: the job's id.
        found: a finding that is open.
        known: the nonconformities of the job.
    """
    if found.check == CLOSED:
        return None
    for case in known:
        if case.is_open and case.covers(found):
            return _open(job, case)
    named = {name: getattr(found, name) for name in NAMED}
    address = url_for("roof.raise_nonconformity", job=job, **named)
    return Remedy(text=say("Raise a nonconformity"), address=address, is_open=False)


def open_cases(read: ReadJob, stage: Stage, check: str) -> tuple[Remedy, ...]:
    """The ways to the nonconformities about a check of a stage that are open."""
    return tuple(
        _open(read.id, case)
        for case in cases(read.job)
        if case.is_open and case.raised.body.stage is stage and case.raised.body.check == check
    )


def _open(job: str, case: Case) -> Remedy:
    number = case.raised.body.number
    return Remedy(
        text=say("Nonconformity %(number)s, open", number=number),
        address=url_for("roof.nonconformity", job=job, number=number),
        is_open=True,
    )


def look_again(
    read: ReadJob,
    stage: Stage,
    check: str | None,
    *,
    area: str | None,
    bay: str | None,
    entry: str | None,
) -> str:
    """Address of the page on which the same is looked at anew, or nothing where none is.

    Args:
        read: the job.
        stage: of what was found.
        check: its check, where one is named.
        area: its area.
        bay: its bay.
        entry: the answer that was outside, which the new one replaces.
    """
    if bay and area:
        return url_for("roof.bay", job=read.id, area=area, bay=bay)
    known = read.specification.checks.get(check or "")
    if known is None or known.form not in ANSWERED:
        return ""
    return url_for("roof.check", job=read.id, stage=stage, check=check, area=area, again=entry)

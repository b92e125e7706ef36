"""What may be done about a finding: the nonconformity that is open about it, or one to raise."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.nonconformities import CLOSED, Case
from qa.texts.saying import say

NAMED = ("stage", "check", "area", "bay", "subject")
"""What a nonconformity may name, by which it is tied to findings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """The way to the nonconformity about a finding.

    Attributes:
        text: what the way is called.
        address: of the open nonconformity, or of the page that raises one.
    """

    text: str
    address: str


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
            number = case.raised.body.number
            address = url_for("roof.nonconformity", job=job, number=number)
            return Remedy(
                text=say("Nonconformity %(number)s, open", number=number), address=address
            )
    named = {name: getattr(found, name) for name in NAMED}
    address = url_for("roof.raise_nonconformity", job=job, **named)
    return Remedy(text=say("Raise a nonconformity"), address=address)

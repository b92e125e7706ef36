"""What is outside its limits in a job, what was put right, and its nonconformities."""

from __future__ import annotations

from dataclasses import dataclass

from flask import url_for

from qa.services.access import Act
from qa.services.reading import read_job
from qa.trade.conformity import Verdict
from qa.web.frame import actor, house, render_page
from qa.web.roof.finding_views import FindingGroup, asks_most_first, finding_groups
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.nonconformity_pages import CaseLine, case_lines
from qa.web.roof.routing import blueprint


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingsPage:
    """The findings of a job.

    Attributes:
        open: outside, and nothing was done about it yet.
        undecided: the limit lies inside the uncertainty.
        settled: put right, or conceded in writing.
        raise_address: of the page that raises a nonconformity, or nothing.
    """

    top: JobTop
    open: tuple[FindingGroup, ...]
    undecided: tuple[FindingGroup, ...]
    settled: tuple[FindingGroup, ...]
    cases: tuple[CaseLine, ...]
    raise_address: str


@blueprint.get("/jobs/<job>/findings")
def findings(job: str) -> str:
    """What is outside, with limit, basis, source and photographs."""
    read = read_job(house(), actor(), job)
    outside = [f for f in read.assessment.findings if f.verdict is Verdict.OUTSIDE]
    outside.sort(key=asks_most_first)
    undecided = [f for f in read.assessment.findings if f.verdict is Verdict.UNDECIDED]
    may_raise = actor().may(Act.WRITE_NOTES)
    page = FindingsPage(
        top=job_top(read),
        open=finding_groups(read, (found for found in outside if found.is_open)),
        undecided=finding_groups(read, undecided),
        settled=finding_groups(read, (found for found in outside if not found.is_open)),
        cases=case_lines(read),
        raise_address=url_for("roof.raise_nonconformity", job=job) if may_raise else "",
    )
    return render_page("roof/findings.html", page)

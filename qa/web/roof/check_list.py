"""The checks of a stage that people answer, and how each stands."""

from __future__ import annotations

from dataclasses import dataclass

from flask import url_for

from qa.assess.recorded import ANSWERED
from qa.services.reading import ReadJob, read_job
from qa.specification.model import Check, Need
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web.frame import actor, house, render_page
from qa.web.roof.check_history import worst
from qa.web.roof.job_paths import stage_named
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import Judged, begun, judged, stage_title


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLine:
    """A check in the list of its stage.

    Attributes:
        address: of its page.
        text: what is measured or seen.
        judged: how it stands where most is asked, or None where nothing is said of it.
        where: the areas where it stands so, where there are several.
        is_optional: whether silence on it is no finding.
    """

    address: str
    text: str
    judged: Judged | None
    where: str
    is_optional: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecksPage:
    """The checks of a stage.

    Attributes:
        to_do: those that are not answered everywhere yet.
        done: the others.
    """

    top: JobTop
    stage: str
    stage_address: str
    to_do: tuple[CheckLine, ...]
    done: tuple[CheckLine, ...]


@blueprint.get("/jobs/<job>/stages/<stage>/checks")
def checks(job: str, stage: str) -> str:
    """Every check of the stage that people answer, with what is recorded."""
    read, in_stage = read_job(house(), actor(), job), stage_named(stage)
    lines = [
        (_is_to_do(read, check, in_stage), _check_line(read, check, in_stage))
        for check in read.specification.checks.values()
        if check.form in ANSWERED and in_stage in check.stages
    ]
    page = ChecksPage(
        top=job_top(read),
        stage=stage_title(read, in_stage),
        stage_address=url_for("roof.stage", job=job, stage=in_stage),
        to_do=tuple(line for is_to_do, line in lines if is_to_do),
        done=tuple(line for is_to_do, line in lines if not is_to_do),
    )
    return render_page("roof/checks.html", page)


def _is_to_do(read: ReadJob, check: Check, stage: Stage) -> bool:
    return any(
        found.is_open or found.verdict is Verdict.NOT_RECORDED
        for found in read.assessment.of_stage(stage)
        if found.check == check.key
    )


def _check_line(read: ReadJob, check: Check, stage: Stage) -> CheckLine:
    findings = [f for f in read.assessment.of_stage(stage) if f.check == check.key]
    told = worst(findings)
    alike = [f for f in findings if told is not None and f.verdict is told.verdict]
    return CheckLine(
        address=url_for("roof.check", job=read.id, stage=stage, check=check.key),
        text=begun(check.quantity),
        judged=judged(told) if told else None,
        where=", ".join(dict.fromkeys(f.telling.area_name or "" for f in alike)).strip(", "),
        is_optional=check.need is not Need.ALWAYS,
    )

"""Searching: one field, and everything of the firm that it finds."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request, url_for

from qa.services.searching import A_PAGE, Found, search
from qa.store.job_search import FoundJob
from qa.texts.saying import say, say_count
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.roof.wording import begun
from qa.web.stage_names import stage_name

LONGEST = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundLine:
    """One thing that was found."""

    address: str
    text: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundGroup:
    """Things of one kind."""

    title: str
    lines: tuple[FoundLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchPage:
    """The field, and what was found.

    Attributes:
        asked: what was typed, cut to `LONGEST`.
    """

    asked: str
    groups: tuple[FoundGroup, ...]
    pages: Pages


@blueprint.get("/desk/search", endpoint="search")
def show_search() -> str:
    """What holds every word that was typed, or one that begins so."""
    asked = " ".join(request.args.get("q", "").split())[:LONGEST]
    number = page_number(request.args.get("page"))
    found = search(house(), actor(), asked, skip=(number - 1) * A_PAGE)
    page = SearchPage(
        asked=asked,
        groups=tuple(group for group in _groups(found, number) if group.lines),
        pages=pages("desk.search", number, has_more=len(found.jobs) > A_PAGE, q=asked),
    )
    return render_page("desk/search.html", page)


def _groups(found: Found, number: int) -> tuple[FoundGroup, ...]:
    jobs = FoundGroup(title=say("Jobs"), lines=tuple(map(_job, found.jobs[:A_PAGE])))
    if number > 1:
        return (jobs,)
    batches = tuple(
        FoundLine(
            address=url_for("desk.batch", batch=batch.batch_number),
            text=batch.batch_number,
            told=say_count(
                "%(product)s, in %(number)s job",
                "%(product)s, in %(number)s jobs",
                batch.jobs,
                product=batch.product,
            ),
        )
        for batch in found.batches
    )
    checks = tuple(
        FoundLine(
            address=url_for("desk.findings", check=check.key),
            text=begun(check.quantity),
            told=say("What is outside limits of %(key)s", key=check.key),
        )
        for check in found.checks
    )
    people = tuple(
        FoundLine(
            address=url_for("people.person", key=one.key),
            text=one.name,
            told=say("Signs as %(key)s", key=one.key),
        )
        for one in found.people
    )
    return (
        jobs,
        FoundGroup(title=say("Batches"), lines=batches),
        FoundGroup(title=say("Checks"), lines=checks),
        FoundGroup(title=say("People"), lines=people),
    )


def _job(job: FoundJob) -> FoundLine:
    standing = (
        say("%(stage)s in hand", stage=stage_name(job.stage))
        if job.stage
        else say("every stage signed off")
    )
    return FoundLine(
        address=url_for("desk.job", job=job.id),
        text=job.title,
        told=f"{job.address or say('The address was erased')}; {job.reference}; {standing}",
    )

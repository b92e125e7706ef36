"""The whole lists behind what needs me, a page at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from flask import request

from qa.services import desk
from qa.services.desk import A_PAGE
from qa.specification.known_checks import KNOWN_CHECKS
from qa.texts.saying import say
from qa.web.desk.lines import DeskLine, finding_line, message_line, pack_line, release_line
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page
from qa.web.roof.paging import Pages, page_number, pages


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPage:
    """One page of a list.

    Attributes:
        none: what is said where there is nothing.
    """

    title: str
    standfirst: str
    lines: tuple[DeskLine, ...]
    none: str
    pages: Pages


@blueprint.get("/desk/releases")
def releases() -> str:
    """Every stage that waits for a supervisor."""
    skip, number = _place()
    found = desk.releases(house(), actor(), skip=skip, most=A_PAGE + 1)
    page = _page(
        "desk.releases",
        number,
        found,
        release_line,
        title=say("Releases waiting"),
        standfirst=say("The oldest sign-off first."),
        none=say("No stage waits."),
    )
    return render_page("desk/list.html", page)


@blueprint.get("/desk/messages")
def messages() -> str:
    """Everything that came by links and is not answered."""
    skip, number = _place()
    found = desk.messages(house(), actor(), skip=skip, most=A_PAGE + 1)
    page = _page(
        "desk.messages",
        number,
        found,
        message_line,
        title=say("Messages to answer"),
        standfirst=say("What homeowners and insurers wrote, the longest waiting first."),
        none=say("Nobody waits for an answer."),
    )
    return render_page("desk/list.html", page)


@blueprint.get("/desk/findings")
def findings() -> str:
    """Everything outside its limits that is neither put right nor conceded."""
    skip, number = _place()
    asked = request.args.get("check", "")
    check = asked if asked in KNOWN_CHECKS else None
    found = desk.findings(house(), actor(), late=False, check=check, skip=skip, most=A_PAGE + 1)
    page = _page(
        "desk.findings",
        number,
        found,
        finding_line,
        title=say("Outside limits"),
        standfirst=say("Of the check %(check)s.", check=check)
        if check
        else say("The newest first."),
        none=say("Nothing is open."),
        check=check,
    )
    return render_page("desk/list.html", page)


@blueprint.get("/desk/late")
def late() -> str:
    """Every entry that was recorded late, as of the last sign-off of its job."""
    skip, number = _place()
    found = desk.findings(house(), actor(), late=True, skip=skip, most=A_PAGE + 1)
    page = _page(
        "desk.late",
        number,
        found,
        finding_line,
        title=say("Recorded late"),
        standfirst=say("The newest first; told when a stage is signed off."),
        none=say("Nothing came late."),
    )
    return render_page("desk/list.html", page)


@blueprint.get("/desk/packs")
def packs() -> str:
    """Every complete job without a handover pack that tells everything."""
    skip, number = _place()
    found = desk.packs_due(house(), actor(), skip=skip, most=A_PAGE + 1)
    page = _page(
        "desk.packs",
        number,
        found,
        pack_line,
        title=say("Packs due"),
        standfirst=say("The longest waiting first."),
        none=say("Every complete job has its pack."),
    )
    return render_page("desk/list.html", page)


def _place() -> tuple[int, int]:
    """How many lines come before the page that was asked for, and its number."""
    number = page_number(request.args.get("page"))
    return (number - 1) * A_PAGE, number


T = TypeVar("T")


def _page(
    endpoint: str,
    number: int,
    found: Sequence[T],
    line: Callable[[T], DeskLine],
    *,
    title: str,
    standfirst: str,
    none: str,
    check: str | None = None,
) -> ListPage:
    return ListPage(
        title=title,
        standfirst=standfirst,
        lines=tuple(map(line, found[:A_PAGE])),
        none=none,
        pages=pages(endpoint, number, has_more=len(found) > A_PAGE, check=check),
    )

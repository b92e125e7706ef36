"""What needs me: releases, messages, outside limits, recorded late, packs due, in this order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services.access import Act
from qa.services.desk import SHOWN_FIRST, needs, releases
from qa.texts.saying import say
from qa.web.desk.lines import (
    DeskLine,
    finding_line,
    message_line,
    pack_line,
    release_address,
    release_line,
)
from qa.web.desk.routing import blueprint
from qa.web.frame import SAVED, actor, house, render_page


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What asks for somebody, of one kind.

    Attributes:
        none: what is said where there is nothing.
        all: address of the whole list, or nothing where everything is shown.
    """

    title: str
    lines: tuple[DeskLine, ...]
    none: str
    all: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedsPage:
    """Everything that asks for somebody.

    Attributes:
        first_release: address of the release to begin with, or nothing.
        ways: the desk's other pages.
    """

    needs: tuple[Need, ...]
    first_release: str
    ways: tuple[tuple[str, str], ...]


@blueprint.get("/desk", endpoint="needs_me")
def show_needs() -> str:
    """What needs somebody, each line one touch from its evidence."""
    someone = actor()
    found = needs(house(), someone)
    page = NeedsPage(
        needs=(
            _need(
                say("Releases waiting"),
                found.releases,
                release_line,
                say("No stage waits."),
                "desk.releases",
            ),
            _need(
                say("Messages to answer"),
                found.messages,
                message_line,
                say("Nobody waits for an answer."),
                "desk.messages",
            ),
            _need(
                say("Outside limits"),
                found.outside,
                finding_line,
                say("Nothing is open."),
                "desk.findings",
            ),
            _need(
                say("Recorded late"),
                found.late,
                finding_line,
                say("Nothing came late."),
                "desk.late",
            ),
            _need(
                say("Packs due"),
                found.packs_due,
                pack_line,
                say("Every complete job has its pack."),
                "desk.packs",
            ),
        ),
        first_release=_first(someone.may(Act.RELEASE), found.releases),
        ways=_ways(),
    )
    return render_page("desk/needs.html", page)


def _ways() -> tuple[tuple[str, str], ...]:
    return (
        (url_for("desk.search"), say("Search")),
        (url_for("desk.batches"), say("Batches")),
        (url_for("desk.drift"), say("Control charts across the jobs")),
        (url_for("desk.audit"), say("Audit")),
        (url_for("desk.specifications"), say("Specifications")),
    )


@blueprint.get("/desk/releases/next")
def next_release() -> ResponseReturnValue:
    """Leads to the release that has waited longest, or to the desk where none waits."""
    waiting = releases(house(), actor(), most=1)
    if not waiting or not actor().may(Act.RELEASE):
        if not waiting:
            flash(say("No stage waits for release."), f"{SAVED}:")
        return redirect(url_for("desk.needs_me"), 303)
    return redirect(release_address(waiting[0]), 303)


T = TypeVar("T")


def _need(
    title: str, found: Sequence[T], line: Callable[[T], DeskLine], none: str, endpoint: str
) -> Need:
    return Need(
        title=title,
        lines=tuple(map(line, found[:SHOWN_FIRST])),
        none=none,
        all=url_for(endpoint) if len(found) > SHOWN_FIRST else "",
    )


def _first(may_release: bool, waiting: Sequence[object]) -> str:
    return url_for("desk.next_release") if may_release and waiting else ""

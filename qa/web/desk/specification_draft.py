"""A draft of a specification: every line that can be changed, and who has changed what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.services.specification_drafts import HeldDraft, absent_battens, read_draft, throw_away
from qa.services.specification_lines import SpecificationLine, lines_of
from qa.services.specification_publishing import differences
from qa.services.specifications import split_name
from qa.services.trial_runs import trial_of
from qa.specification.editing import HEAD
from qa.texts.saying import say, to_say
from qa.web import clock
from qa.web.dates import utc_text
from qa.web.desk.routing import blueprint
from qa.web.desk.specification_trial import told_of_run
from qa.web.frame import SAVED, actor, house, render_page

_SHOWN_CHANGES = 8
_TITLES = {
    "": to_say("What it is"),
    "stage": to_say("Stages and the photos that they ask for"),
    "check.stage": to_say("Checks of every stage"),
    "check.record": to_say("Checks of the record"),
    "check.survey": to_say("Checks of the survey"),
    "check.deck": to_say("Checks of the deck"),
    "check.trims": to_say("Checks of the edge trims"),
    "check.bandage": to_say("Checks of the bandage"),
    "check.conditions": to_say("Checks of the conditions"),
    "check.mix": to_say("Checks of the mixes"),
    "check.laminate": to_say("Checks of the laminate"),
    "check.topcoat": to_say("Checks of the topcoat"),
    "check.completion": to_say("Checks at completion"),
    "check.lot": to_say("Checks of the lots"),
    "chart": to_say("Dose charts"),
    "gel_time": to_say("Gel time"),
    "battens": to_say("Battens"),
    "uncertainty": to_say("Uncertainties"),
    "figure": to_say("Rates and properties of materials"),
    "planning": to_say("Planning and ordering"),
}
"""Titles of the parts of a file; checks go by the stage that they belong to."""
_NO_DETAIL = frozenset(
    {"quantity", "plain", "plain good", "plain bad", "stages", "form", "per", "need"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownLine:
    """A line that leads to its form.

    Attributes:
        says: its figures in short.
        is_changed: whether the draft says otherwise than its origin there.
    """

    address: str
    title: str
    says: str
    is_changed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownGroup:
    """Lines that belong together.

    Attributes:
        changed: how many of them the draft has changed.
    """

    title: str
    lines: tuple[ShownLine, ...]
    changed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownChange:
    """One change: who, when, of what, and what in words."""

    title: str
    told: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPage:
    """The page.

    Attributes:
        ended: how it ended, in a sentence; nothing while it is open.
        ended_address: of the version that it became, or nothing.
        differs: how many lines say otherwise than the origin.
        trial: how far the trial run of it is, or nothing.
        changes, earlier: the last ones, and those before.
    """

    name: str
    came_from: str
    came_from_address: str
    told: str
    ended: str
    ended_address: str
    differs: int
    trial: str
    groups: tuple[ShownGroup, ...]
    changes: tuple[ShownChange, ...]
    earlier: tuple[ShownChange, ...]
    compare: str
    try_it: str
    publish: str
    end: str


@blueprint.get("/desk/specifications/drafts/<draft>", endpoint="draft")
def show_draft(draft: str) -> str:
    """A draft, line by line."""
    return render_page("desk/specification_draft.html", _page(read_draft(house(), actor(), draft)))


@blueprint.post("/desk/specifications/drafts/<draft>/end", endpoint="end_draft")
def end_draft(draft: str) -> ResponseReturnValue:
    """Throws a draft away."""
    throw_away(house(), actor(), draft, now=clock.now())
    flash(say("Thrown away."), SAVED)
    return redirect(url_for("desk.specifications"), 303)


def moment_text(at: datetime) -> str:
    """A moment that belongs to no job, in UTC."""
    return utc_text(at)


def version_address(name: str) -> str:
    """The page of a version by its name."""
    key, version = split_name(name)
    return url_for("desk.specification", specification=key, version=version)


def _page(held: HeldDraft) -> DraftPage:
    kept = held.kept
    lines = _lines(held)
    titles = {line.path or HEAD: line.title for line in lines}
    changed = {one.path or HEAD for one in differences(house(), actor(), held)}
    changes = tuple(
        ShownChange(
            title=titles.get(one.path, one.path),
            told=one.told,
            by=f"{one.changed_by}, {moment_text(one.changed_at)}",
        )
        for one in held.changes
    )
    return DraftPage(
        name=held.name,
        came_from=kept.came_from,
        came_from_address=version_address(kept.came_from),
        told=say(
            "Begun by %(name)s, %(when)s", name=kept.begun_by, when=moment_text(kept.begun_at)
        ),
        ended=_ended(held),
        ended_address=version_address(kept.published) if kept.published else "",
        differs=len(changed),
        trial=told_of_run(trial_of(house(), actor(), kept.content)),
        groups=tuple(_groups(kept.id, lines, changed)),
        changes=changes[:_SHOWN_CHANGES],
        earlier=changes[_SHOWN_CHANGES:],
        compare=url_for("desk.compare_draft", draft=kept.id),
        try_it=url_for("desk.try_draft", draft=kept.id),
        publish=url_for("desk.publish_draft", draft=kept.id),
        end=url_for("desk.end_draft", draft=kept.id),
    )


def _ended(held: HeldDraft) -> str:
    kept = held.kept
    if kept.ended_at is None:
        return ""
    when = moment_text(kept.ended_at)
    if kept.published:
        return say(
            "%(who)s published it as %(name)s, %(when)s.",
            who=kept.ended_by,
            name=kept.published,
            when=when,
        )
    return say("%(who)s threw it away, %(when)s.", who=kept.ended_by, when=when)


def _lines(held: HeldDraft) -> tuple[SpecificationLine, ...]:
    """Every line, with the battens that the file leaves out among the battens."""
    lines = lines_of(held.kept.content)
    there = {line.path for line in lines}
    absent = tuple(
        SpecificationLine(path=path, title=title, says=(), basis="", source="")
        for path, title in absent_battens().items()
        if path not in there
    )
    order = [_group_of(line) for line in lines]
    place = order.index("uncertainty")
    return (*lines[:place], *absent, *lines[place:])


def _groups(
    draft: str, lines: tuple[SpecificationLine, ...], changed: set[str]
) -> Iterator[ShownGroup]:
    for part, inside in groupby(lines, key=_group_of):
        shown = tuple(_shown(draft, line, changed) for line in inside)
        count = sum(line.is_changed for line in shown)
        yield ShownGroup(title=str(_TITLES[part]), lines=shown, changed=count)


def _group_of(line: SpecificationLine) -> str:
    """The part of the file; checks go by the stage that they belong to."""
    part, _, rest = line.path.partition(".")
    return f"check.{rest.partition('.')[0]}" if part == "check" else part


def _shown(draft: str, line: SpecificationLine, changed: set[str]) -> ShownLine:
    path = line.path or HEAD
    figures = [f"{name} {text}" for name, text in line.says if name not in _NO_DETAIL]
    return ShownLine(
        address=url_for("desk.draft_line", draft=draft, line=path),
        title=line.title,
        says="; ".join([*figures[:3], line.basis]).strip("; ")[:160] or say("none"),
        is_changed=path in changed,
    )

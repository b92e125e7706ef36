"""Specifications: the versions that jobs may be judged by, and one of them line by line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import Response, url_for

from qa.services.access import Act
from qa.services.specification_drafts import open_drafts
from qa.services.specification_lines import LineGroup, grouped, lines_of
from qa.services.specifications import OfferedVersion, offered_versions, read_version
from qa.texts.saying import say, say_count, to_say
from qa.trade.conformity import DecisionRule
from qa.web.dates import day_text
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page

_RULES = {
    DecisionRule.SIMPLE: to_say(
        "The value alone is compared with its limits: simple acceptance, JCGM 106:2012."
    ),
    DecisionRule.GUARDED: to_say(
        "A value must keep its limits by its whole expanded uncertainty: guarded "
        "acceptance, JCGM 106:2012."
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionLine:
    """A version in the list."""

    address: str
    name: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionsPage:
    """The list.

    Attributes:
        drafts: drafts that people of the firm work on.
        new: address of the page that makes one, or nothing where the person may not.
    """

    lines: tuple[VersionLine, ...]
    drafts: tuple[VersionLine, ...]
    new: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionPage:
    """One version, every line of it.

    Attributes:
        rule: how a value is compared with its limits.
        ways: address and words of what can be done with it.
    """

    name: str
    title: str
    note: str
    told: str
    rule: str
    sha256: str
    groups: tuple[LineGroup, ...]
    ways: tuple[tuple[str, str], ...]


@blueprint.get("/desk/specifications", endpoint="specifications")
def show_versions() -> str:
    """Every version that the firm's jobs may pin."""
    page = VersionsPage(
        lines=tuple(
            VersionLine(address=address_of(one), name=one.name, told=told_of(one))
            for one in offered_versions(house(), actor())
        ),
        drafts=_drafts(),
        new=url_for("desk.new_specification") if actor().may(Act.SET_LIMITS) else "",
    )
    return render_page("desk/specifications.html", page)


@blueprint.get("/desk/specifications/<specification>/<int:version>", endpoint="specification")
def show_version(specification: str, version: int) -> str:
    """One version with every limit, unit, basis and source."""
    held = read_version(house(), actor(), specification, version)
    page = VersionPage(
        name=held.offered.name,
        title=held.specification.title,
        note=held.specification.note,
        told=told_of(held.offered),
        rule=_RULES[held.specification.rule],
        sha256=held.offered.sha256,
        groups=grouped(lines_of(held.content)[1:]),
        ways=_ways(held.offered),
    )
    return render_page("desk/specification.html", page)


@blueprint.get(
    "/desk/specifications/<specification>/<int:version>/file", endpoint="specification_file"
)
def send_version(specification: str, version: int) -> Response:
    """The version's file, byte by byte: what its digest is reckoned over."""
    held = read_version(house(), actor(), specification, version)
    answer = Response(held.content, content_type="application/toml")
    name = f"{held.offered.key}-{held.offered.version}.toml"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def address_of(one: OfferedVersion) -> str:
    """The page of a version."""
    return url_for("desk.specification", specification=one.key, version=one.version)


def told_of(one: OfferedVersion) -> str:
    """Who made a version, when and why."""
    if one.made_at is None:
        return say("Brought along by the program")
    day = day_text(one.made_at)
    if one.came_with is not None:
        return say(
            "Came with the folder of job %(came_with)s, %(day)s; not offered to new jobs",
            came_with=one.came_with,
            day=day,
        )
    made = f"{one.made_by}, {day}"
    return f"{made}: {one.note}" if one.note else made


def _drafts() -> tuple[VersionLine, ...]:
    """The drafts, for who may work on them."""
    if not actor().may(Act.SET_LIMITS):
        return ()
    return tuple(
        VersionLine(
            address=url_for("desk.draft", draft=one.id),
            name=say("Draft from %(name)s", name=one.came_from),
            told=say_count(
                "%(number)s change so far; begun by %(who)s",
                "%(number)s changes so far; begun by %(who)s",
                one.revision,
                who=one.begun_by,
            ),
        )
        for one in open_drafts(house(), actor())
    )


def _ways(one: OfferedVersion) -> tuple[tuple[str, str], ...]:
    place: dict[str, Any] = {"specification": one.key, "version": one.version}
    from_it = ((url_for("desk.begin_draft", **place), say("Make a new version from this one")),)
    return (
        *(from_it if actor().may(Act.SET_LIMITS) else ()),
        (url_for("desk.compare_specification", **place), say("Compare with another version")),
        (url_for("desk.try_specification", **place), say("Trial run on the firm’s jobs")),
        (url_for("desk.specification_file", **place), say("The file, to be changed or kept")),
    )

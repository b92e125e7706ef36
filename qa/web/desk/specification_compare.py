"""Two versions of a specification beside each other: what differs, with its sources."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request

from qa.services.specification_lines import ChangedLine, compared
from qa.services.specifications import offered_versions, read_version
from qa.web.desk.routing import blueprint
from qa.web.desk.specifications import address_of
from qa.web.frame import actor, house, render_page


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparePage:
    """What a version says otherwise than another.

    Attributes:
        name, address: of the version.
        others: names of the versions that it can be compared with.
        other: the one that it is compared with, or nothing yet.
        lines: what differs.
    """

    name: str
    address: str
    others: tuple[str, ...]
    other: str
    lines: tuple[ChangedLine, ...]


@blueprint.get(
    "/desk/specifications/<specification>/<int:version>/compare", endpoint="compare_specification"
)
def show_compared(specification: str, version: int) -> str:
    """What differs between a version and the one that is asked for."""
    held = read_version(house(), actor(), specification, version)
    offered = {one.name: one for one in offered_versions(house(), actor())}
    del offered[held.offered.name]
    asked = offered.get(request.args.get("with", ""))
    lines: tuple[ChangedLine, ...] = ()
    if asked is not None:
        before = read_version(house(), actor(), asked.key, asked.version)
        lines = compared(before.content, held.content)
    page = ComparePage(
        name=held.offered.name,
        address=address_of(held.offered),
        others=tuple(offered),
        other=asked.name if asked else "",
        lines=lines,
    )
    return render_page("desk/specification_compare.html", page)

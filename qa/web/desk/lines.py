"""The lines of the desk's lists: what, of which job, since when, and the way to its evidence."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from textwrap import shorten
from zoneinfo import ZoneInfo

from flask import url_for

from qa.services.linking import Face
from qa.store.desk_lists import (
    ListedFinding,
    ListedMessage,
    ListedPackDue,
    ListedRelease,
    OfJob,
)
from qa.texts.saying import say
from qa.web import clock
from qa.web.dates import time_text
from qa.web.roof.finding_views import finding_key
from qa.web.roof.wording import begun
from qa.web.stage_names import stage_name

PACKS = "packs"
"""Where the page of a whole job leads to its packs."""
_SHOWN_OF_TEXT = 160
FROM_DESK = "desk"
"""Value of `from` in the address of a release that was opened from the desk's list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskLine:
    """One line.

    Attributes:
        address: of the evidence.
        text: what it is.
        told: more of it, or nothing.
        place: the job.
        since: when it came about.
    """

    address: str
    text: str
    told: str
    place: str
    since: str


def release_line(waiting: ListedRelease) -> DeskLine:
    """A stage that waits for a supervisor, led to its story; the decision is the next touch."""
    stage = waiting.stage
    return DeskLine(
        address=url_for("desk.job", job=waiting.job.id, _anchor=stage),
        text=f"{stage_name(stage)}: {waiting.job.title}",
        told="",
        place=job_text(waiting.job),
        since=say(
            "Signed off by %(signed_by)s, %(since)s",
            signed_by=waiting.signed_by,
            since=_since(waiting.signed_at, waiting.job),
        ),
    )


def release_address(waiting: ListedRelease) -> str:
    """The page on which a supervisor decides, with the next one offered afterwards."""
    page = url_for("roof.release", job=waiting.job.id, stage=waiting.stage)
    return f"{page}?from={FROM_DESK}#main"


def message_line(written: ListedMessage) -> DeskLine:
    """What a homeowner or an insurer wrote, led to where it is read and answered."""
    face = Face(written.face)
    return DeskLine(
        address=url_for("roof.message", job=written.job.id, message=written.id),
        text=say(
            "%(word)s by the %(face)s’s link: %(title)s",
            word=begun(face.writes),
            face=face,
            title=written.job.title,
        ),
        told=shorten(written.text, _SHOWN_OF_TEXT, placeholder="…"),
        place=job_text(written.job),
        since=say("Came %(since)s", since=_since(written.received_at, written.job)),
    )


def finding_line(found: ListedFinding) -> DeskLine:
    """Something that is open, led to where it stands among the findings with its evidence."""
    where = [
        stage_name(found.stage),
        begun(found.area.replace("-", " ")),  # the key follows the name
        say("bay %(bay)s", bay=found.bay) if found.bay else "",
    ]
    return DeskLine(
        address=url_for("desk.job", job=found.job.id, _anchor=_key(found)),
        text=f"{', '.join(filter(None, where))}: {found.job.title}",
        told=begun(found.exact),
        place=job_text(found.job),
        since=_since(found.noted_at, found.job),
    )


def pack_line(due: ListedPackDue) -> DeskLine:
    """A job that is complete and has no handover pack yet."""
    return DeskLine(
        address=url_for("desk.job", job=due.job.id, _anchor=PACKS),
        text=due.job.title,
        told="",
        place=job_text(due.job),
        since=say("Complete, last entry %(since)s", since=_since(due.last_received_at, due.job)),
    )


def job_text(job: OfJob) -> str:
    """A job by its address and reference."""
    return f"{job.address or say('The address was erased')}; {job.reference}"


def _key(found: ListedFinding) -> str:
    return finding_key(found.stage, found.check, found.area, found.bay, found.subject)


def _since(at: datetime, job: OfJob) -> str:
    zone = ZoneInfo(job.time_zone)
    return time_text(at, zone, clock.now().astimezone(zone).date())

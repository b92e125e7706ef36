"""The first page of the insurer's side: what there is, whether the chain holds, what it proves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from flask import url_for

from qa.assess.lateness import TIMELY
from qa.record.kinds.papers import Correction, Erasure
from qa.record.kinds.parties import Role
from qa.record.schema import Withheld
from qa.services.linking import Face
from qa.services.reading import ReadJob
from qa.services.shared_reading import ChainCheck, check_chain, read_shared_job
from qa.texts.saying import say, to_say
from qa.trade.conformity import Verdict
from qa.web import clock
from qa.web.dates import moment_text
from qa.web.frame import house, render_page
from qa.web.insurer.findings import FoundRow, found_rows
from qa.web.insurer.routing import blueprint
from qa.web.roof.stage_views import telling_of
from qa.web.shared_links import FaceTop, opened

_ROLES = {
    Role.INSTALLER: to_say("installer"),
    Role.SUPERVISOR: to_say("supervisor"),
    Role.OFFICE: to_say("office"),
}
NO_DEVICE = to_say("no device named")


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRow:
    """One of the crew.

    Attributes:
        key: by which entries name them.
        name: or nothing where it is withheld.
        entries: how many are theirs.
    """

    key: str
    name: str
    role: str
    competence: str
    entries: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountRow:
    """How many entries came from one device."""

    label: str
    entries: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainView:
    """What came of checking the chain.

    Attributes:
        checked: when, just now.
        late: how many entries were recorded late by the specification's own limit.
    """

    holds: bool
    entries: int
    head: str
    faults: tuple[str, ...]
    checked: str
    corrections: int
    late: int
    erasures: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontPage:
    """The page.

    Attributes:
        facts: what the record is about, a label and a text each.
        found: what was outside its limits or could not be decided.
        corrections: what each says and its address.
        folder_with_names: address of the folder with personal values; nothing where the link does
            not show them.
    """

    top: FaceTop
    recipient: str
    until: str
    zone: str
    facts: tuple[tuple[str, str], ...]
    shows_personal: bool
    chain: ChainView
    people: tuple[PersonRow, ...]
    devices: tuple[CountRow, ...]
    photos: int
    found: tuple[FoundRow, ...]
    corrections: tuple[tuple[str, str], ...]
    record: str
    questions: str
    folder: str
    folder_with_names: str


@blueprint.get("/e/<reader_token>/", endpoint="front")
def show_front(reader_token: str) -> str:
    """What there is to read and how far it can be relied on."""
    link = opened(Face.INSURER, reader_token)
    read = read_shared_job(house(), link)
    here: dict[str, Any] = {"reader_token": reader_token}
    named = url_for("insurer.folder_with_names", **here)
    page = FrontPage(
        top=reader_top(read, reader_token),
        recipient=link.recipient,
        until=moment_text(link.expires_at, read.job.time_zone),
        zone=read.job.opening.body.time_zone,
        facts=tuple(_facts(read)),
        shows_personal=link.shows_personal,
        chain=_chain(read, check_chain(house(), link)),
        people=tuple(_people(read)),
        devices=tuple(_devices(read)),
        photos=len(read.job.photos),
        found=found_rows(read, reader_token),
        corrections=tuple(_corrections(read, reader_token)),
        record=url_for("insurer.record", **here),
        questions=url_for("insurer.questions", **here),
        folder=url_for("insurer.folder", **here),
        folder_with_names=named if link.shows_personal else "",
    )
    return render_page("insurer/front.html", page)


def reader_top(read: ReadJob, token: str) -> FaceTop:
    """The top of every page of the insurer's side."""
    return FaceTop(
        home=url_for("insurer.front", reader_token=token),
        firm=read.job.opening.body.firm.name,
        reference=read.job.reference,
        title=read.job.opening.body.title,
    )


def who_text(read: ReadJob, key: str) -> str:
    """Who an entry is by, and in which role: "Nell Sample, installer"."""
    person = read.job.crew.get(key)
    if person is None:
        return say("%(key)s, not of the crew any more", key=key)
    name = key if isinstance(person.name, Withheld) else person.name
    return f"{name}, {_ROLES[person.role]}"


def _facts(read: ReadJob) -> Iterator[tuple[str, str]]:
    opening = read.job.opening.body
    yield say("Firm"), ", ".join(filter(None, (opening.firm.name, opening.firm.address)))
    yield say("Client"), _shown(opening.client.name)
    yield say("Site"), _shown(opening.site.address)
    yield say("Judged by"), f"{read.specification.title}, {opening.specification}"
    yield say("Times"), say("on the site’s clock, %(time_zone)s", time_zone=opening.time_zone)


def _shown(value: str | Withheld | None) -> str:
    return value if isinstance(value, str) else say("withheld")


def _chain(read: ReadJob, check: ChainCheck) -> ChainView:
    return ChainView(
        holds=check.holds,
        entries=check.entries,
        head=check.head,
        faults=check.faults,
        checked=moment_text(clock.now(), read.job.time_zone),
        corrections=len(read.job.corrections),
        late=sum(
            found.check == TIMELY and found.verdict is Verdict.OUTSIDE
            for found in read.assessment.findings
        ),
        erasures=len(read.job.erasures),
    )


def _corrections(read: ReadJob, token: str) -> Iterator[tuple[str, str]]:
    telling = telling_of(read)
    for number, entry in enumerate(read.job.entries):
        if isinstance(entry.body, Correction | Erasure):
            said = say("No. %(number)s: %(line)s", number=number, line=telling.line(entry))
            yield said, url_for("insurer.entry", reader_token=token, entry=entry.id)


def _people(read: ReadJob) -> Iterator[PersonRow]:
    counts = Counter(entry.by for entry in read.job.entries)
    for key, person in read.job.crew.items():
        yield PersonRow(
            key=key,
            name="" if isinstance(person.name, Withheld) else person.name,
            role=_ROLES[person.role],
            competence=person.competence or "",
            entries=counts[key],
        )


def _devices(read: ReadJob) -> Iterator[CountRow]:
    counts = Counter(entry.device or NO_DEVICE for entry in read.job.entries)
    for device, number in sorted(counts.items()):
        yield CountRow(label=device, entries=number)

"""Handing over: to whom, and which packs, by their digests."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import when
from qa.assess.stages import is_unsigned
from qa.record.registry import Kind
from qa.record.schema import Withheld
from qa.services.pack_making import packs_of
from qa.services.packing import PackKind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.services.summarising import is_told
from qa.store.papers import MadePack
from qa.texts.saying import say, say_count, to_say
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.form_fields import EarlierField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.packs import KIND_TITLES
from qa.web.roof.routing import blueprint
from qa.web.roof.several import SeveralField
from qa.web.roof.wording import person_text, stage_title
from qa.web.saving import Moment, saved

_SHORT_DIGEST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverLine:
    """A handover that stands in the record."""

    address: str
    text: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverPage:
    """A handover that is about to be recorded, and those that stand.

    Attributes:
        grown: what the record has beyond the newest pack that is made, in words, or nothing.
        unsigned: the stages that nobody signed off yet, in words, or nothing.
    """

    top: JobTop
    form: HandoverForm
    packs_address: str
    grown: str
    unsigned: str
    handovers: tuple[HandoverLine, ...]


class HandoverForm(SiteForm):
    """To whom, and what."""

    PATHS: ClassVar = {}

    to = WordsField(to_say("Handed over to"), required=True)
    documents = SeveralField(to_say("What was handed over"))
    earlier = EarlierField(to_say("It was earlier"))


@blueprint.route("/jobs/<job>/handover", methods=["GET", "POST"])
def hand_over(job: str) -> ResponseReturnValue:
    """Records that packs were handed over."""
    read = read_job(house(), actor(), job)
    packs = {pack.sha256: pack for pack in packs_of(house(), actor(), job) if pack.sha256}
    client = read.job.opening.body.client.name
    form = HandoverForm(data={"to": None if isinstance(client, Withheld) else client})
    form.documents.options = tuple(_option(read, pack) for pack in packs.values())

    def save(moment: Moment) -> tuple[Receipt, ...]:
        documents = [
            {"kind": packs[sha256].kind, "sha256": sha256} for sha256 in form.documents.data
        ]
        body = {"to": form.to.data, "documents": documents}
        drafts = [draft(form, moment, Kind.HANDOVER, body)]
        return record(house(), actor(), job, drafts, now=moment.now)

    return saved(
        form,
        save,
        url_for("roof.hand_over", job=job),
        lambda: render_page("roof/handover.html", _page(read, form, tuple(packs.values()))),
        zone=read.job.time_zone,
    )


def _option(read: ReadJob, pack: MadePack) -> Option:
    made = time_text(pack.made_at or pack.asked_at, read.job.time_zone, site_day(read))
    digest = (pack.sha256 or "")[:_SHORT_DIGEST]
    return Option(
        value=pack.sha256 or "",
        label=say(
            "%(title)s, no. %(number)s, made %(made)s",
            title=KIND_TITLES[PackKind(pack.kind)],
            number=pack.number,
            made=made,
        ),
        hint=say("of %(entries)s entries, digest %(digest)s…", entries=pack.entries, digest=digest),
    )


def _page(read: ReadJob, form: HandoverForm, packs: tuple[MadePack, ...]) -> HandoverPage:
    newest = max((pack.entries or 0 for pack in packs), default=0)
    grown = sum(map(is_told, read.job.entries[newest:])) if packs else 0
    unsigned = (stage_title(read, s) for s in Stage if is_unsigned(read.job, s))
    lines = tuple(
        HandoverLine(
            address=url_for("roof.entry", job=read.id, entry=one.id),
            text=say_count(
                "To %(to)s: %(number)s document",
                "To %(to)s: %(number)s documents",
                len(one.body.documents),
                to=one.body.to,
            ),
            told=f"{person_text(read.job, one.by)}, "
            f"{time_text(one.at, read.job.time_zone, site_day(read))}",
        )
        for one in sorted(read.job.handovers, key=when, reverse=True)
    )
    return HandoverPage(
        top=job_top(read),
        form=form,
        packs_address=url_for("roof.packs", job=read.id),
        grown=say_count("%(number)s entry", "%(number)s entries", grown) if grown > 0 else "",
        unsigned=", ".join(unsigned).lower(),
        handovers=lines,
    )

"""Links to a job for people outside the firm: made, their address shown once, listed, ended."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from flask import flash, redirect, url_for
from flask.typing import ResponseReturnValue

from qa.errors import RecordError
from qa.services.linking import Face, MadeLink, end_link, links_of, make_link
from qa.services.reading import ReadJob, read_job
from qa.store.links import KeptLink
from qa.texts.saying import say, say_count, to_say
from qa.web import clock
from qa.web.account.sign_in import SAID_PLAINLY
from qa.web.dates import day_text, in_zone, time_text
from qa.web.form_fields import ChoiceField, Option, WordsField, YesField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.routing import blueprint

FACE_WORDS = {Face.HOMEOWNER: to_say("Homeowner"), Face.INSURER: to_say("Insurer or expert")}
_FACES = (
    Option(
        value=Face.HOMEOWNER,
        label=FACE_WORDS[Face.HOMEOWNER],
        hint=to_say("the handover pack, the care calendar, a way to report a problem"),
    ),
    Option(
        value=Face.INSURER,
        label=FACE_WORDS[Face.INSURER],
        hint=to_say("the whole record with its originals, and a way to ask you"),
    ),
)
_LASTS = (
    Option(value="90", label=to_say("90 days"), hint=to_say("as is usual for an insurer")),
    Option(value="365", label=to_say("A year")),
    Option(value="3653", label=to_say("10 years")),
    Option(
        value=str(Face.HOMEOWNER.usual_days),
        label=to_say("15 years"),
        hint=to_say(
            "as is usual for a homeowner: after that no claim in negligence can be brought"
        ),
    ),
    Option(
        value="9132", label=to_say("25 years"), hint=to_say("the longest warranty of such a roof")
    ),
)


class LinkForm(SiteForm):
    """For whom a link is to be."""

    PATHS: ClassVar = {"days": "days"}

    recipient = WordsField(
        to_say("Whom is it for?"),
        required=True,
        hint=to_say("Their name, for your own list alone."),
    )
    face = ChoiceField(to_say("What they are"), options=_FACES, required=True)
    days = ChoiceField(
        to_say("How long it works"),
        options=_LASTS,
        optional_word=to_say("as is usual, where you choose none"),
    )
    names = YesField(to_say("Show an insurer the names and addresses too"))


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkLine:
    """One link.

    Attributes:
        told: what it is, who made it and when.
        state: until when it works, or since when it does not.
        used: how often and when last.
        end: address that ends it; nothing where it does not work any more.
    """

    recipient: str
    told: str
    state: str
    used: str
    end: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LinksPage:
    """The page."""

    top: JobTop
    form: LinkForm
    lines: tuple[LinkLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLinkPage:
    """The page that shows a link, this once."""

    top: JobTop
    recipient: str
    face: str
    address: str
    until: str
    back: str


@blueprint.route("/jobs/<job>/links", methods=["GET", "POST"], endpoint="links")
def show_links(job: str) -> ResponseReturnValue:
    """The links to a job, and a form for one more."""
    read = read_job(house(), actor(), job)
    form = LinkForm()
    if form.sent and form.validate():
        try:
            return _made_page(read, _make(read, form))
        except RecordError as error:
            form.take(error.problems)
    page = LinksPage(
        top=job_top(read),
        form=form,
        lines=tuple(_line(read, link) for link in links_of(house(), actor(), job)),
    )
    return render_page("roof/links.html", page), 400 if form.sent else 200


@blueprint.post("/jobs/<job>/links/<link>/end", endpoint="end_link")
def end(job: str, link: str) -> ResponseReturnValue:
    """Ends a link."""
    end_link(house(), actor(), job, link, now=clock.now())
    flash(say("The link is ended. It opens nothing any more."), SAID_PLAINLY)
    return redirect(url_for("roof.links", job=job), 303)


def _make(read: ReadJob, form: LinkForm) -> MadeLink:
    return make_link(
        house(),
        actor(),
        read.id,
        face=Face(form.face.data),
        recipient=str(form.recipient.data),
        days=int(form.days.data) if form.days.data else None,
        shows_personal=bool(form.names.data),
        now=clock.now(),
    )


def _made_page(read: ReadJob, made: MadeLink) -> str:
    page = MadeLinkPage(
        top=job_top(read),
        recipient=made.recipient,
        face=FACE_WORDS[made.face].lower(),
        address=made.address,
        until=_day(read, made.expires_at),
        back=url_for("roof.links", job=read.id),
    )
    return render_page("roof/link_made.html", page)


def _line(read: ReadJob, link: KeptLink) -> LinkLine:
    zone, today = read.job.time_zone, site_day(read)
    is_open = link.is_open(clock.now())
    face = Face(link.face)
    names = ""
    if face is Face.INSURER:
        names = (
            say(", with names and addresses") if link.shows_personal else say(", names withheld")
        )
    if link.ended_at is not None:
        state = say("Ended %(time)s", time=time_text(link.ended_at, zone, today))
    else:
        until = _day(read, link.expires_at)
        state = (
            say("Works until %(until)s", until=until)
            if is_open
            else say("Worked until %(until)s", until=until)
        )
    used = say("Not used yet")
    if link.last_used_at is not None:
        visits = say_count("%(number)s visit", "%(number)s visits", link.uses)
        used = say(
            "%(visits)s, last %(time)s",
            visits=visits,
            time=time_text(link.last_used_at, zone, today),
        )
    made = say(
        "made by %(made_by)s, %(time)s",
        made_by=link.made_by,
        time=time_text(link.created_at, zone, today),
    )
    return LinkLine(
        recipient=link.recipient,
        told=say(
            "%(face)s%(names)s; %(made)s. No. %(id)s",
            face=FACE_WORDS[face],
            names=names,
            made=made,
            id=link.id[-6:],
        ),
        state=state,
        used=used,
        end=url_for("roof.end_link", job=read.id, link=link.id) if is_open else "",
    )


def _day(read: ReadJob, when: datetime) -> str:
    return day_text(in_zone(when, read.job.time_zone))

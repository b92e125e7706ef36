"""Packs of a job: asking for one, watching it being made, taking it away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from flask import Response, jsonify, send_file, url_for
from flask.typing import ResponseReturnValue

from qa.services.access import Act
from qa.services.pack_making import ask_for_pack, pack_of, pack_path, packs_of
from qa.services.packing import PackKind
from qa.services.reading import ReadJob, read_job
from qa.store.papers import WAITING, MadePack
from qa.texts.saying import say, to_say
from qa.web.dates import time_text
from qa.web.form_fields import ChoiceField, Option
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun
from qa.web.saving import Moment, saved

KIND_TITLES: Mapping[PackKind, str] = MappingProxyType(
    {
        PackKind.HANDOVER: to_say("Handover pack"),
        PackKind.WARRANTY: to_say("Warranty file"),
    }
)
_OPTIONS = (
    Option(
        value=PackKind.HANDOVER,
        label=to_say("Handover pack"),
        hint=to_say("for the client, in plain words"),
    ),
    Option(
        value=PackKind.WARRANTY,
        label=to_say("Warranty file"),
        hint=to_say("for the insurer or an expert, every figure with its source"),
    ),
)
_SHORT = 12


class PackForm(SiteForm):
    """Which pack is asked for."""

    kind = ChoiceField(to_say("Have a pack made"), options=_OPTIONS, required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackRow:
    """One pack.

    Attributes:
        told: who asked for it and when.
        progress: how far it is, in words; nothing once it is made.
        is_on_its_way: whether it will come of itself.
        fault: why it could not be made, or why it is not there any more; or nothing.
        made: when it was made, by which version, of how many entries.
        digest, head: whole; of the file and of the record that it shows.
        is_current: whether the record has not grown since.
        address, state: of the file, and of how far it is.
    """

    number: int
    title: str
    told: str
    progress: str
    is_on_its_way: bool
    fault: str
    made: str
    size: str
    digest: str
    head: str
    is_current: bool
    address: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PacksPage:
    """The page.

    Attributes:
        form: None for who may not ask for one.
        is_waiting: whether a pack is on its way, so that the page looks again by itself.
    """

    top: JobTop
    form: PackForm | None
    rows: tuple[PackRow, ...]
    is_waiting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """The receipt of a pack that was asked for."""

    entry: str
    repeated: bool = False


@blueprint.route("/jobs/<job>/packs", methods=["GET", "POST"], endpoint="packs")
def show_packs(job: str) -> ResponseReturnValue:
    """The packs of a job, newest first."""
    read, someone = read_job(house(), actor(), job), actor()
    form = PackForm(kind=PackKind.HANDOVER.value)

    def save(moment: Moment) -> Sequence[_Asked]:
        kind = PackKind(str(form.kind.data))
        number = ask_for_pack(house(), someone, job, kind, now=moment.now)
        return (_Asked(entry=str(number)),)

    return saved(
        form,
        save,
        url_for("roof.packs", job=job),
        lambda: render_page(
            "roof/packs.html", _page(read, form if someone.may(Act.MAKE_PACKS) else None)
        ),
        word=say("Asked for"),
        zone=read.job.time_zone,
    )


@blueprint.get("/jobs/<job>/packs/<int(max=100000):number>", endpoint="pack")
def send_pack(job: str, number: int) -> Response:
    """The PDF of a pack, to be saved."""
    pack = pack_of(house(), actor(), job, number)
    path = pack_path(house(), actor(), job, number)
    reference = read_job(house(), actor(), job).job.reference
    response = send_file(
        path,
        mimetype="application/pdf",
        as_attachment=True,
        download_name=f"{_plain(reference)}-{pack.kind}-{number}.pdf",
        etag=pack.sha256 or False,
        last_modified=None,
    )
    response.headers["Cache-Control"] = "private, no-cache"
    return response


@blueprint.get("/jobs/<job>/packs/<int(max=100000):number>/state", endpoint="pack_state")
def pack_state(job: str, number: int) -> Response:
    """How far a pack is, for the page's script."""
    pack = pack_of(house(), actor(), job, number)
    answer = jsonify(
        made=pack.is_made, waiting=pack.is_on_its_way, told=_progress(pack), fault=pack_fault(pack)
    )
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _page(read: ReadJob, form: PackForm | None) -> PacksPage:
    packs = packs_of(house(), actor(), read.id)
    return PacksPage(
        top=job_top(read),
        form=form,
        rows=tuple(_row(read, pack) for pack in packs),
        is_waiting=any(pack.is_on_its_way for pack in packs),
    )


def _row(read: ReadJob, pack: MadePack) -> PackRow:
    asked = time_text(pack.asked_at, read.job.time_zone, site_day(read))
    return PackRow(
        number=pack.number,
        title=KIND_TITLES[PackKind(pack.kind)],
        told=say("Asked for by %(asked_by)s, %(asked)s", asked_by=pack.asked_by, asked=asked),
        progress=_progress(pack),
        is_on_its_way=pack.is_on_its_way,
        fault=pack_fault(pack),
        made=_made(read, pack),
        size=f"{(pack.bytes or 0) / 1024**2:.1f} MB",
        digest=pack.sha256 or "",
        head=pack.head or "",
        is_current=pack.head == read.job.head,
        address=url_for("roof.pack", job=read.id, number=pack.number),
        state=url_for("roof.pack_state", job=read.id, number=pack.number),
    )


def pack_fault(pack: MadePack) -> str:
    """Why a pack could not be made or is not there any more; nothing where it is or will be."""
    if not pack.is_erased:
        return pack.fault or ""
    return say(
        "It was made before something was erased from the record, and its PDF was erased with it. "
        "Ask for a new one: it shows what is left."
    )


def _made(read: ReadJob, pack: MadePack) -> str:
    if pack.made_at is None:
        return ""
    at = time_text(pack.made_at, read.job.time_zone, site_day(read))
    return say(
        "Made %(at)s by %(program)s, of %(entries)s entries",
        at=at,
        program=pack.program,
        entries=pack.entries,
    )


def _progress(pack: MadePack) -> str:
    """How far a pack is, in words."""
    if not pack.is_on_its_way:
        return ""
    if pack.step == WAITING:
        return say("Waits its turn")
    of = (
        say(", %(step_done)s of %(step_of)s", step_done=pack.step_done, step_of=pack.step_of)
        if pack.step_of > 1
        else ""
    )
    return f"{begun(pack.step)}{of}"


def _plain(reference: str) -> str:
    """A reference as a file may be called."""
    return "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in reference)

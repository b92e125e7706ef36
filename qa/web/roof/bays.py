"""Routes of bays: the map of an area, and looking at one bay."""

from __future__ import annotations

from collections.abc import Sequence

from flask import jsonify, request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import LaidArea
from qa.errors import NotFoundError
from qa.services.access import Act
from qa.services.examining import SeenBay, laid_areas, seen_bays
from qa.services.reading import ReadJob, read_job
from qa.services.recording import record
from qa.services.remembering import last_recorded
from qa.texts.saying import say
from qa.trade.vocabulary import WetOut
from qa.web.asked_for import wants_json
from qa.web.frame import actor, house, render_page
from qa.web.roof.bay_form import BayForm
from qa.web.roof.bay_pages import bay_page, bays_page
from qa.web.roof.outside import after_saving
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, Receipt, saved

ASKED = "asked"
"""Sent once the person was asked how large what they saw is."""
_ASKS = (WetOut.WHITE_PATCHES, WetOut.DRY)


@blueprint.get("/jobs/<job>/areas/<area>/bays")
def bays(job: str, area: str) -> str:
    """The bays of an area, to scale, and how each stands."""
    read = read_job(house(), actor(), job)
    laid = _laid(read, area)
    may_record = actor().may(Act.RECORD_WORK)
    page = bays_page(read, laid, _seen(read, laid), may_record=may_record)
    return render_page("roof/bays.html", page)


@blueprint.route("/jobs/<job>/areas/<area>/bays/<bay>", methods=["GET", "POST"])
def bay(job: str, area: str, bay: str) -> ResponseReturnValue:
    """Takes one look at a bay, and shows those that were taken before."""
    read = read_job(house(), actor(), job)
    laid = _laid(read, area)
    seen = _bay(_seen(read, laid), bay)
    form = BayForm()
    form.propose(seen, passes=_last_passes(read))
    form.hand_in()

    def page(asked: WetOut | None = None) -> str:
        return render_page("roof/bay.html", bay_page(read, laid, seen, form, asked=asked))

    asked = _to_be_asked(form)
    if asked is not None:
        return jsonify(saved=False) if wants_json() else page(asked)

    def save(moment: Moment) -> Sequence[Receipt]:
        drafts = form.drafts(moment, area, seen)
        return record(house(), actor(), job, drafts, now=moment.now)

    then = url_for("roof.bays", job=job, area=area)
    where = then if ASKED in request.form or form.says_why else after_saving(job, then)
    return saved(
        form, save, where, page, zone=read.job.time_zone, word=say("%(bay)s saved", bay=bay)
    )


def _to_be_asked(form: BayForm) -> WetOut | None:
    """What was chosen without a word about it, where the person was not asked yet."""
    if not form.sent or ASKED in request.form or form.says_why:
        return None
    return next((look for look in _ASKS if look.value == form.wet_out.data), None)


def _last_passes(read: ReadJob) -> int | None:
    """What the person last said of the roller's passes in this job."""
    told = (look for look in read.job.examinations if look.body.passes is not None)
    last = last_recorded(told, actor().key)
    return None if last is None else last.body.passes


def _laid(read: ReadJob, area: str) -> LaidArea:
    laid = laid_areas(read.job, read.specification).get(area)
    if laid is None:
        raise NotFoundError(say("This job has no such area. Begin from the job’s page."))
    return laid


def _seen(read: ReadJob, laid: LaidArea) -> tuple[SeenBay, ...]:
    return seen_bays(read.job, read.assessment.findings, laid.body.area, laid.bays)


def _bay(bays: Sequence[SeenBay], key: str) -> SeenBay:
    for seen in bays:
        if seen.bay.key == key:
            return seen
    raise NotFoundError(say("This area has no such bay. Look for it on the map of its bays."))

"""Routes of mixes: making one, what was made, and that its bucket is empty."""

from __future__ import annotations

from collections.abc import Sequence

from flask import jsonify, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import NotFoundError
from qa.record.registry import Kind
from qa.services.mix_table import MixTable, mix_stage, mix_table
from qa.services.mixing import empty_bucket, find_mix, key_of, save_mix
from qa.services.reading import ReadJob, read_job
from qa.texts.saying import say
from qa.trade.vocabulary import WET_STAGES, Stage
from qa.web import clock
from qa.web.asked_for import wants_json
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_paths import stage_named
from qa.web.roof.mix_form import MixForm
from qa.web.roof.mix_made_page import made_mix_page
from qa.web.roof.mix_page import mix_page
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, Receipt, saved

SHOW = "show"
"""Name of the button that shows the target where the page has no script."""


@blueprint.route("/jobs/<job>/mix", methods=["GET", "POST"])
def mix(job: str) -> ResponseReturnValue:
    """The next mix: what to measure out, and what was really used."""
    read = read_job(house(), actor(), job)
    form = MixForm()
    table = _table(read, form)
    form.propose(table)

    def page() -> str:
        return render_page("roof/mix.html", mix_page(read, table, form))

    if form.sent and SHOW in request.form:
        return jsonify(saved=False) if wants_json() else page()

    def save(moment: Moment) -> Sequence[Receipt]:
        entry = draft(form, moment, Kind.MIX, form.body(table.stage.value))
        return save_mix(house(), actor(), job, entry, now=moment.now)

    def made(receipts: Sequence[Receipt]) -> str:
        key = key_of(read_job(house(), actor(), job).job, receipts[0].entry)
        return url_for("roof.mix_made", job=job, mix=key)

    return saved(form, save, made, page, zone=read.job.time_zone, word=say("Mix saved"))


@blueprint.get("/jobs/<job>/mixes/<mix>")
def mix_made(job: str, mix: str) -> str:
    """A mix that was made: the verdict and the gel clock."""
    read = read_job(house(), actor(), job)
    page = made_mix_page(read, find_mix(read.job, mix), SiteForm(), now=clock.now())
    return render_page("roof/mix_made.html", page)


@blueprint.post("/jobs/<job>/mixes/<mix>/emptied")
def mix_emptied(job: str, mix: str) -> ResponseReturnValue:
    """Completes a mix with the time at which its bucket was empty."""
    read = read_job(house(), actor(), job)
    form = SiteForm()
    made = url_for("roof.mix_made", job=job, mix=mix)

    def save(moment: Moment) -> Sequence[Receipt]:
        correction = str(form.entry_id.data)
        return empty_bucket(
            house(), actor(), job, mix, correction_id=correction, at=moment.at, now=moment.now
        )

    def back() -> ResponseReturnValue:
        return redirect(made, 303)

    return saved(form, save, made, back, zone=read.job.time_zone, word=say("Bucket empty"))


def _table(read: ReadJob, form: MixForm) -> MixTable:
    asked = request.args.get("stage")
    stage = _wet_stage(asked) if asked else mix_stage(read.job, read.stage_in_hand)
    return mix_table(
        read.job,
        read.specification,
        stage,
        person=actor().key,
        now=clock.now(),
        area=form.area.data,
    )


def _wet_stage(word: str) -> Stage:
    stage = stage_named(word)
    if stage not in WET_STAGES:
        raise NotFoundError(say("Nothing is mixed in this stage. Begin from the job’s page."))
    return stage

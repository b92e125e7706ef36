"""Routes of readings of weather and deck: three numbers, and whether to lay."""

from __future__ import annotations

from collections.abc import Sequence

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.record.registry import Kind
from qa.services.mix_table import mix_stage
from qa.services.reading import ReadJob, read_job
from qa.services.recording import record
from qa.trade.vocabulary import Stage
from qa.web.frame import actor, house, render_page
from qa.web.roof.conditions_form import ConditionsForm
from qa.web.roof.conditions_page import conditions_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_paths import stage_named
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, Receipt, saved


@blueprint.route("/jobs/<job>/conditions", methods=["GET", "POST"])
def conditions(job: str) -> ResponseReturnValue:
    """Takes a reading, and answers whether to lay."""
    read = read_job(house(), actor(), job)
    asked = request.args.get("stage")
    stage = stage_named(asked) if asked else _stage(read)
    form = ConditionsForm()
    form.propose(read)

    def save(moment: Moment) -> Sequence[Receipt]:
        entry = draft(form, moment, Kind.CONDITIONS, form.body(stage))
        return record(house(), actor(), job, [entry], now=moment.now)

    return saved(
        form,
        save,
        url_for("roof.conditions", job=job, stage=stage.value),
        lambda: render_page("roof/conditions.html", conditions_page(read, stage, form)),
        zone=read.job.time_zone,
    )


def _stage(read: ReadJob) -> Stage:
    """The stage in hand, whichever it is; at the end, the last that was mixed for."""
    in_hand = read.stage_in_hand
    return mix_stage(read.job, None) if in_hand is None else in_hand

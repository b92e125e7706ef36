"""Routes of loggers' files: chosen, looked at, saved as readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import Problem, RecordError
from qa.services.logger_files import (
    look_into,
    open_logger_file,
    save_readings,
    take_logger_file,
)
from qa.services.logger_found import LoggerFound
from qa.services.logger_layout import SEPARATORS
from qa.services.reading import read_job
from qa.texts.saying import say
from qa.web import clock
from qa.web.frame import actor, house, render_page
from qa.web.roof.logger_form import LayoutForm, LoggerFileForm
from qa.web.roof.logger_page import fault_of, logger_file_page, logger_page
from qa.web.roof.logger_weighed import weighed_options
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, Receipt, saved

SAVE = "save"
"""What the button sends that saves; the other one looks again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _TakenFile:
    """The receipt of a file that waits."""

    entry: str
    digest: str
    repeated: bool = False


@blueprint.route("/jobs/<job>/logger", methods=["GET", "POST"])
def logger(job: str) -> ResponseReturnValue:
    """Takes a logger's file, and leads to what was found in it."""
    read = read_job(house(), actor(), job)
    form = LoggerFileForm()
    taken: list[_TakenFile] = []

    def save(moment: Moment) -> Sequence[Receipt]:
        digest = take_logger_file(house(), actor(), form.file.data.stream, now=moment.now)
        taken.append(_TakenFile(entry=str(form.entry_id.data), digest=digest))
        return taken

    return saved(
        form,
        save,
        lambda _: url_for("roof.logger_file", job=job, logger_file=taken[0].digest),
        lambda: render_page("roof/logger.html", logger_page(read, form)),
        zone=read.job.time_zone,
        word=say("Read"),
    )


@blueprint.route("/jobs/<job>/logger/<logger_file>", methods=["GET", "POST"])
def logger_file(job: str, logger_file: str) -> ResponseReturnValue:
    """Shows what a file holds, by the layout that is chosen, and saves it."""
    read = read_job(house(), actor(), job)
    form = LayoutForm()
    chosen = SEPARATORS.get(request.form.get("separator", ""))
    opened = open_logger_file(house(), actor(), read, logger_file, separator=chosen)
    anew = not form.sent or form.separator.typed != request.form.get("cut_by")
    form.offer(read, opened, anew=anew)
    layout = form.proposed(opened) if anew else form.layout() if form.validate() else None
    found = LoggerFound() if layout is None else look_into(opened, layout, read)
    is_saved = form.sent and request.form.get("do") == SAVE and not anew
    options, differing = weighed_options(read, found)
    form.offer_weighings(options, request.form.getlist("weighed") if is_saved else differing)

    def page() -> str:
        shown = logger_file_page(read, opened, form, found, now=clock.now())
        return render_page("roof/logger_file.html", shown)

    def save(moment: Moment) -> Sequence[Receipt]:
        fault = fault_of(read, found, now=moment.now)
        if fault or layout is None:
            raise RecordError((Problem(place=say("The file"), sentence=fault),))
        return save_readings(
            house(), actor(), read, opened, layout, found,
            area=form.area.data, instruments=form.instruments.data,
            weighed=form.weighed.data, now=moment.now,
        )  # fmt: skip

    if form.sent and not is_saved:
        return page()
    then = url_for("roof.conditions", job=job, stage=_last_stage(found))
    if not found.chosen:
        then = url_for("roof.record", job=job)
    return saved(form, save, then, page, zone=read.job.time_zone)


def _last_stage(found: LoggerFound) -> str | None:
    return found.chosen[-1][0].value if found.chosen else None

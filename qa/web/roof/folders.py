"""Jobs as folders: taking one out as a zip file, and taking one in."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flask import Response, flash, send_file, url_for
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import FileStorage

from qa.errors import Problem, RecordError, SpecificationError
from qa.services.folder_zip import folder_name, unzip, zip_out
from qa.services.reading import read_job
from qa.services.taking_in import brought_along, take_in
from qa.specification.loader import BUILT_IN
from qa.texts.saying import say, to_say
from qa.web.form_fields import TypedField
from qa.web.forms import SiteForm
from qa.web.frame import SAVED, actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, saved

MOST_SHOWN = 1000
"""Faults of a record that the page lists; a file of another kind has thousands."""


class FolderField(TypedField):
    """A zip file; its data is the file as it was sent."""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes the file that has a name; a browser sends an empty one where none was chosen."""
        sent = [value for value in valuelist if isinstance(value, FileStorage) and value.filename]
        self.data = sent[0] if sent else None

    def missing(self) -> str:
        """What is said where no file was chosen."""
        return say("Choose the zip file of a job folder.")


class TakeInForm(SiteForm):
    """A job folder."""

    folder = FolderField(to_say("The folder, as a zip file"), required=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeInPage:
    """The page."""

    form: TakeInForm


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOutPage:
    """The page.

    Attributes:
        specification: name of the version that judges it and goes with it; nothing where the
            program brings it along.
        personal: how many personal values go with it.
        photos: how many photographs.
        address: of the zip file.
    """

    top: JobTop
    reference: str
    entries: int
    specification: str
    personal: int
    photos: int
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _TakenIn:
    """The receipt of a job that was taken in."""

    entry: str
    job_id: str
    repeated: bool = False


@blueprint.route("/jobs/take-in", methods=["GET", "POST"], endpoint="take_in")
def show_take_in() -> ResponseReturnValue:
    """Takes a job folder in, all of it or nothing."""
    form = TakeInForm()
    taken: list[_TakenIn] = []

    def save(moment: Moment) -> Sequence[_TakenIn]:
        job_id = _take_in(form.folder.data, moment)
        taken.append(_TakenIn(entry=str(form.entry_id.data), job_id=job_id))
        _say_what_came(job_id)
        return taken

    return saved(
        form,
        save,
        lambda _: url_for("roof.job", job=taken[0].job_id),
        lambda: render_page("roof/take_in.html", TakeInPage(form=form)),
        word=say("Taken in"),
    )


@blueprint.get("/jobs/<job>/folder", endpoint="take_out")
def show_take_out(job: str) -> str:
    """What a job's folder holds, and the way to it."""
    read = read_job(house(), actor(), job)
    page = TakeOutPage(
        top=job_top(read),
        reference=read.job.reference,
        entries=len(read.job.entries),
        specification="" if read.specification.name in BUILT_IN else read.specification.name,
        personal=len(read.record.disclosures),
        photos=len(read.job.photos),
        address=url_for("roof.folder", job=job),
    )
    return render_page("roof/take_out.html", page)


@blueprint.get("/jobs/<job>/folder.zip", endpoint="folder")
def send_folder(job: str) -> Response:
    """The job's folder as a zip file."""
    read = read_job(house(), actor(), job)
    # On the instance's disk, which has room for the originals; it is gone when it was sent.
    made = tempfile.TemporaryFile(dir=house().settings.instance)  # noqa: SIM115
    zip_out(house(), actor(), job, made)
    made.seek(0)
    response = send_file(
        made,
        mimetype="application/zip",
        as_attachment=True,
        download_name=f"{folder_name(read.job.reference)}.zip",
        max_age=0,
    )
    response.call_on_close(made.close)
    response.headers["Cache-Control"] = "no-store"
    return response


def _take_in(sent: FileStorage, moment: Moment) -> str:
    """The installation's id of the job that a zip file holds.

    Raises:
        RecordError: with every fault, each with its file and line in the sentence.
    """
    with tempfile.TemporaryDirectory(dir=house().settings.instance, prefix="taking-in-") as made:
        folder = Path(made)
        try:
            unzip(sent.stream, folder)  # type: ignore[arg-type]
            return take_in(house(), actor(), folder, now=moment.now)
        except (RecordError, SpecificationError) as error:
            raise RecordError(tuple(_told(error.problems, folder))) from error


def _say_what_came(job_id: str) -> None:
    """Says, on the page that follows, which specification the folder brought along."""
    brought = brought_along(house(), firm_id=actor().firm_id, job_id=job_id)
    if brought is not None:
        flash(
            say(
                "It is judged by %(brought)s, which came with its folder and is now kept among "
                "your specifications. New jobs are not offered it.",
                brought=brought,
            ),
            SAVED,
        )


def _told(problems: Sequence[Problem], folder: Path) -> list[Problem]:
    """The faults as the page lists them: place and sentence, without the server's own paths."""
    told = [
        Problem(
            place=one.place,
            sentence=f"{one.place}: {one.sentence}".replace(f"{folder}/", "").replace(
                str(folder), "the folder"
            ),
        )
        for one in problems[:MOST_SHOWN]
    ]
    if len(problems) > MOST_SHOWN:
        more = say(
            "There are %(count)s more. Nothing has been taken in.",
            count=len(problems) - MOST_SHOWN,
        )
    else:
        more = say("Nothing has been taken in.")
    return [*told, Problem(place="", sentence=more)]

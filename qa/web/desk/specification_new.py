"""A new version of a specification from a file: taken whole, or refused with every fault of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from flask import url_for
from flask.typing import ResponseReturnValue
from werkzeug.datastructures import FileStorage

from qa.errors import RecordError, SpecificationError
from qa.services.specifications import LARGEST_BYTES, OfferedVersion, make_version
from qa.texts.saying import say, to_say
from qa.web.desk.routing import blueprint
from qa.web.desk.specifications import address_of
from qa.web.form_fields import TypedField
from qa.web.forms import SiteForm, WordsField
from qa.web.frame import actor, house, render_page
from qa.web.saving import Moment, saved


class FileField(TypedField):
    """A file; its data is the file as it was sent."""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes the file that has a name; a browser sends an empty one where none was chosen."""
        sent = [value for value in valuelist if isinstance(value, FileStorage) and value.filename]
        self.data = sent[0] if sent else None

    def missing(self) -> str:
        """What is said where no file was chosen."""
        return say("Choose the file of the specification.")


class NewVersionForm(SiteForm):
    """A specification's file, and why it is made."""

    file = FileField(to_say("The file, in TOML"), required=True)
    note = WordsField(to_say("Why this version is made"), required=True, lines=2)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewVersionPage:
    """The page.

    Attributes:
        general: address of the general file, to begin from.
    """

    form: NewVersionForm
    general: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Made:
    """The receipt of a version."""

    entry: str
    version: OfferedVersion
    repeated: bool = False


@blueprint.route("/desk/specifications/new", methods=["GET", "POST"], endpoint="new_specification")
def show_new() -> ResponseReturnValue:
    """Keeps a version for good."""
    form = NewVersionForm()
    made: list[_Made] = []

    def save(moment: Moment) -> Sequence[_Made]:
        version = _make(form, moment)
        made.append(_Made(entry=str(form.entry_id.data), version=version))
        return made

    general = url_for("desk.specification_file", specification="general-grp", version=1)
    return saved(
        form,
        save,
        lambda _: address_of(made[0].version),
        lambda: render_page(
            "desk/specification_new.html", NewVersionPage(form=form, general=general)
        ),
        word=say("Kept"),
    )


def _make(form: NewVersionForm, moment: Moment) -> OfferedVersion:
    """The version of the form's file.

    Raises:
        RecordError: with every fault of the file, each told with its table.
    """
    with form.file.data.stream as file:
        content = file.read(LARGEST_BYTES + 1)
    try:
        return make_version(house(), actor(), content, note=str(form.note.data), now=moment.now)
    except SpecificationError as error:
        told = (replace(one, sentence=str(one), field=None) for one in error.problems)
        raise RecordError(tuple(told)) from error

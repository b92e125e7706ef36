"""One table of a draft, changed by a small form: value, basis, source, sentences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from flask import flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import RecordError, SpecificationError
from qa.services.specification_drafts import (
    HeldDraft,
    LineChange,
    LineOfDraft,
    change_line,
    line_of_draft,
    read_draft,
)
from qa.services.specifications import read_version, split_name
from qa.specification.editing import mark_of, table_of
from qa.specification.toml_text import TomlTable
from qa.texts.saying import say
from qa.web import clock
from qa.web.desk.routing import blueprint
from qa.web.desk.rows_table import STEP, RowsTable
from qa.web.desk.specification_faults import faults_of_form
from qa.web.desk.specification_forms import form_of
from qa.web.desk.specification_line_form import LineForm
from qa.web.form_fields import ChoiceField, NumberField, TypedField, YesField
from qa.web.frame import SAVED, actor, house, render_page
from qa.web.saving import Moment, saved

PUT_BACK = "put_back"
"""Name of the button that puts back what the version says that the draft comes from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownField:
    """A field and the macro that makes it."""

    macro: str
    field: TypedField


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePage:
    """The page.

    Attributes:
        name: of the version that the draft would become.
        draft: address of the draft.
        path: of the table, as the file has it.
        came_from: name of the version that the draft comes from.
        is_changed: whether it says otherwise here.
    """

    form: LineForm
    fields: tuple[ShownField, ...]
    name: str
    draft: str
    title: str
    path: str
    came_from: str
    is_changed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Changed:
    """The receipt of a change."""

    entry: str
    repeated: bool = False


@blueprint.route(
    "/desk/specifications/drafts/<draft>/lines/<line>",
    methods=["GET", "POST"],
    endpoint="draft_line",
)
def show_line(draft: str, line: str) -> ResponseReturnValue:
    """One table of a draft, and the form that changes it."""
    held = read_draft(house(), actor(), draft)
    shown = line_of_draft(held, line)
    form = form_of(shown)
    if form.sent and STEP in request.form:
        _step(form, request.form[STEP])
        return render_page("desk/specification_line.html", _page(held, shown, form))

    if form.sent and PUT_BACK in request.form:
        return _put_back(held, shown, form)

    def save(moment: Moment) -> Sequence[_Changed]:
        table = form.table(shown.table)
        change = LineChange(path=line, table=table, seen=str(form.seen.data))
        _change(draft, change, moment.now)
        return (_Changed(entry=str(form.entry_id.data)),)

    return saved(
        form,
        save,
        url_for("desk.draft", draft=draft),
        lambda: _again(draft, line, form),
        word=say("Kept in the draft"),
    )


def origin_of(held: HeldDraft, path: str) -> TomlTable:
    """What the version says there that a draft comes from."""
    base = read_version(house(), actor(), *split_name(held.kept.came_from))
    return table_of(base.content, path)


def _put_back(held: HeldDraft, shown: LineOfDraft, form: LineForm) -> ResponseReturnValue:
    """Puts back what stood there, whatever else was typed."""
    draft, path = held.kept.id, shown.path
    change = LineChange(path=path, table=origin_of(held, path), seen=str(form.seen.data))
    try:
        _change(draft, change, clock.now())
    except RecordError as error:
        form.take(error.problems)
        return _again(draft, path, form), 400
    flash(say("Put back."), SAVED)
    return redirect(url_for("desk.draft", draft=draft), 303)


def _change(draft: str, change: LineChange, now: datetime) -> None:
    """Keeps a change.

    Raises:
        RecordError: with every fault, each by its field.
    """
    try:
        change_line(house(), actor(), draft, change, now=now)
    except SpecificationError as error:
        raise RecordError(tuple(faults_of_form(error.problems, change.path))) from error


def _again(draft: str, line: str, form: LineForm) -> str:
    """The page as it is now: somebody may have changed the draft since the form was sent."""
    held = read_draft(house(), actor(), draft)
    shown = line_of_draft(held, line)
    if form.faults:
        form.seen.data = shown.mark
    return render_page("desk/specification_line.html", _page(held, shown, form))


def _page(held: HeldDraft, shown: LineOfDraft, form: LineForm) -> LinePage:
    return LinePage(
        form=form,
        fields=tuple(ShownField(macro=_macro(one), field=one) for one in form.line_fields),
        name=held.name,
        draft=url_for("desk.draft", draft=held.kept.id),
        title=shown.title,
        path=shown.path,
        came_from=held.kept.came_from,
        is_changed=mark_of(origin_of(held, shown.path)) != shown.mark,
    )


def _step(form: LineForm, sent: str) -> None:
    """Adds a row to the form's table, or takes one out; nothing is saved."""
    for field in form.line_fields:
        if isinstance(field, RowsTable):
            field.step(sent)


def _macro(field: TypedField) -> str:
    if isinstance(field, RowsTable):
        return "rows"
    if isinstance(field, ChoiceField):
        return "choice"
    if isinstance(field, YesField):
        return "yes"
    return "number" if isinstance(field, NumberField) else "words"

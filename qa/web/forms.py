"""The form that every page of the site derives from.

A form reads and keeps; it never judges. Faults that the record's own readers find are taken into
the fields that they belong to.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from flask import request
from flask_wtf import FlaskForm
from wtforms import HiddenField

from qa.errors import Problem
from qa.texts.saying import to_say
from qa.web.form_fields import (
    ChoiceField,
    CountField,
    EarlierField,
    NumberField,
    Option,
    PhotosField,
    TypedField,
    WordsField,
    YesField,
)
from qa.web.frame import house

__all__ = [
    "ChoiceField",
    "CountField",
    "EarlierField",
    "NumberField",
    "Option",
    "PhotosField",
    "SiteForm",
    "Trouble",
    "WordsField",
    "YesField",
]

_HIDDEN = ("entry_id", "noted_at", "phone_now", "csrf_token")
_PARTS = re.compile(r"[^.\[\]]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """One thing that keeps a form from being saved, for the summary above it.

    Attributes:
        field_id: the field it belongs to, or nothing where it belongs to the whole form.
        label: the field's label.
        sentence: what is wrong and how to mend it.
    """

    field_id: str
    label: str
    sentence: str


class SiteForm(FlaskForm):
    """A form of the site.

    Attributes:
        PATHS: paths of the record's fields, after the kind's word, by the form's field names; a
            field of the same name as the path (or as its last part) need not be named.
        entry_id: id of the entry to be, so that a form sent twice makes one entry.
        noted_at: the phone's clock when it was first saved; empty without script.
        phone_now: the phone's clock when it was sent; empty without script.
    """

    PATHS: ClassVar[Mapping[str, str]] = {}

    entry_id = HiddenField()
    noted_at = HiddenField()
    phone_now = HiddenField()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.faults: list[str] = []
        if not self.entry_id.data:
            self.entry_id.data = house().new_id()

    @property
    def sent(self) -> bool:
        """Whether this request sends the form."""
        return request.method == "POST"

    @property
    def shown_fields(self) -> tuple[TypedField, ...]:
        """The fields that a person sees, in their order."""
        return tuple(field for field in self if field.short_name not in _HIDDEN)

    def take(self, problems: Iterable[Problem]) -> None:
        """Shows each problem at the field it belongs to, in the field's own words."""
        for problem in problems:
            field = self._field_of(problem.field or "")
            if field is None:
                self.faults.append(_in_words(problem, ""))
            else:
                field.errors = (*field.errors, _in_words(problem, str(field.label.text)))

    @property
    def troubles(self) -> tuple[Trouble, ...]:
        """Everything that keeps the form from being saved."""
        whole = [Trouble(field_id="", label="", sentence=fault) for fault in self.faults]
        return (*whole, *(
            Trouble(field_id=str(field.id), label=str(field.label.text), sentence=str(error))
            for field in self.shown_fields
            for error in field.errors
        ))  # fmt: skip

    def _field_of(self, path: str) -> TypedField | None:
        """The field that a path of the record, such as "mix.kg", is typed into."""
        inner = path.partition(".")[2]
        named = {path: name for name, path in self.PATHS.items()}
        parts = _PARTS.findall(inner)
        for name in (named.get(inner), "_".join(parts), parts[-1] if parts else None):
            if name and name in self._fields and name not in _HIDDEN:
                return self._fields[name]  # type: ignore[no-any-return]
        return None


_NOT_OF_THE_CREW = to_say(
    "You are not of this job’s crew. Add yourself on the job’s page “Crew”, then save this again."
)


def _in_words(problem: Problem, label: str) -> str:
    """A problem's sentence with the field's label in the place of its path."""
    path = problem.field or ""
    if path == "by":
        return _NOT_OF_THE_CREW
    rest = problem.sentence.removeprefix(path).lstrip()
    if not label or rest == problem.sentence:
        return problem.sentence
    return f"{label} {rest}"

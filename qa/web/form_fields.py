"""Fields that read what a gloved hand types, keep it as it was typed, and say what cannot be read.

They read only: whether a value can be true is said by the record's own readers. What stands round a
field on the page is made by the macros of templates/pages/_fields.html.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from typing import Any

from werkzeug.datastructures import FileStorage
from wtforms import Field
from wtforms.validators import ValidationError

from qa.texts.saying import say

_MINUS = str.maketrans({"−": "-", "–": "-", "\u00a0": "", "\u202f": "", " ": ""})
_LONGEST = 60


class TypedField(Field):
    """A field that keeps what was typed as it was typed.

    Attributes:
        typed: the text as it came, for the page that shows the form again.
        hint: a sentence beside the field, or nothing.
        required: whether the form asks for it.
    """

    def __init__(
        self, label: str, *, hint: str = "", required: bool = False, optional_word: str = "",
        **kwargs: Any,
    ) -> None:  # fmt: skip
        self.typed = ""
        self.hint = hint
        self.required = required
        self.optional_word = optional_word
        super().__init__(label, description=hint, **kwargs)

    def process_data(self, value: Any) -> None:
        """Takes a value that the program gives, such as the one remembered from the last time."""
        self.data = value
        self.typed = self.written(value)

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes what was sent.

        Raises:
            ValueError: it cannot be read; the sentence says how it is written.
        """
        if not valuelist:
            return
        self.typed = str(valuelist[0])
        self.data = None
        if self.typed.strip():
            self.data = self.read(self.typed.strip())
        elif self.required:
            raise ValueError(self.missing())

    def pre_validate(self, _form: Any) -> None:
        """A field that was not sent at all is missing just as an empty one is."""
        if self.required and self.data is None and not self.process_errors:
            raise ValidationError(self.missing())

    def missing(self) -> str:
        """What is said where nothing was given."""
        return say("This is missing; fill it in.")

    def read(self, text: str) -> Any:
        """The value that a text stands for."""
        return text

    def written(self, value: Any) -> str:
        """The text of a value, as the person would type it."""
        return "" if value is None else str(value)


class WordsField(TypedField):
    """Words of any length; `lines` above 1 asks for a larger space."""

    def __init__(
        self, label: str, *, lines: int = 1, autocomplete: str = "off", kind: str = "text",
        **kwargs: Any,
    ) -> None:  # fmt: skip
        self.lines = lines
        self.autocomplete = autocomplete
        self.kind = kind
        super().__init__(label, **kwargs)


class NumberField(TypedField):
    """A number, with a decimal point or a decimal comma.

    Attributes:
        unit: stands beside the figure, such as "°C".
        signed: whether values below zero are usual, so that the keys must offer a minus.
    """

    def __init__(self, label: str, *, unit: str = "", signed: bool = False, **kwargs: Any) -> None:
        self.unit = unit
        self.signed = signed
        super().__init__(label, **kwargs)

    def missing(self) -> str:
        """What is said where nothing was given."""
        return say("A figure is missing; type it.")

    def read(self, text: str) -> float:
        """The number that a text stands for."""
        return read_figure(text)

    def written(self, value: Any) -> str:
        """The figure as it would be typed."""
        return "" if value is None else f"{value:.10g}"


class CountField(NumberField):
    """A whole number; the page gives it large targets to step by.

    Attributes:
        least, most: where the steps stop; a figure beyond them is read all the same.
        step: how far one touch goes.
    """

    def __init__(
        self, label: str, *, least: int = 0, most: int | None = None, step: int = 1, **kwargs: Any
    ) -> None:
        self.least = least
        self.most = most
        self.step = step
        super().__init__(label, **kwargs)

    def read(self, text: str) -> int:
        """The whole number that a text stands for."""
        value = super().read(text)
        if value != int(value):
            raise ValueError(
                say("“%(text)s” is no whole number; write it like 3.", text=_short(text))
            )
        return int(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer of a choice.

    Attributes:
        value: what is sent.
        label: what is read.
        hint: a few words below it, or nothing.
    """

    value: str
    label: str
    hint: str = ""


class ChoiceField(TypedField):
    """One of a few answers, each a target of its own."""

    def __init__(self, label: str, *, options: Sequence[Option] = (), **kwargs: Any) -> None:
        self.options: tuple[Option, ...] = tuple(options)
        super().__init__(label, **kwargs)

    def missing(self) -> str:
        """What is said where nothing was chosen."""
        return say("Choose one of these.")

    def pre_validate(self, form: Any) -> None:
        """Refuses an answer that was not offered."""
        offered = {option.value for option in self.options}
        if self.data == "" and "" not in offered:
            self.data = None
        super().pre_validate(form)
        if self.data is not None and self.data not in offered:
            raise ValidationError(
                say("“%(text)s” is none of these; choose one.", text=_short(self.typed))
            )


class YesField(TypedField):
    """A statement to be ticked; its data is true or false."""

    def process_data(self, value: Any) -> None:
        """Takes a value that the program gives."""
        self.data = bool(value)
        self.typed = "yes" if value else ""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Ticked where anything was sent."""
        self.process_data(bool(valuelist and valuelist[0]))

    def pre_validate(self, _form: Any) -> None:
        """A statement that must be made is missing while it is not ticked."""
        if self.required and not self.data:
            raise ValidationError(say("Tick this first."))


class EarlierField(TypedField):
    """When something was, where it was not just now: a day and a time on the site's clock.

    Its data is a naive local datetime, or None for “just now”; `in_zone` gives it an offset.
    """

    typed_time = ""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes the day and the time, sent under the same name in this order."""
        if not valuelist:
            return
        self.typed, self.typed_time = (*(str(value).strip() for value in valuelist[:2]), "")[:2]
        self.data = None
        if self.typed or self.typed_time:
            self.data = self._read_both()

    def in_zone(self, zone: tzinfo) -> datetime | None:
        """The moment in a job's zone, or None for “just now”."""
        return None if self.data is None else self.data.replace(tzinfo=zone)

    def written(self, value: Any) -> str:
        """The day; the time is kept beside it."""
        self.typed_time = "" if value is None else f"{value:%H:%M}"
        return "" if value is None else value.date().isoformat()

    def _read_both(self) -> datetime:
        try:
            return datetime.combine(
                date.fromisoformat(self.typed), time.fromisoformat(self.typed_time)
            )
        except ValueError as error:
            raise ValueError(say("Give both the day and the time, or leave both empty.")) from error


class PhotosField(TypedField):
    """Photographs; its data is a tuple of what was sent.

    Attributes:
        many: whether several may be given at once.
        camera: whether a phone opens its camera and not its album.
    """

    def __init__(
        self, label: str, *, many: bool = False, camera: bool = True, **kwargs: Any
    ) -> None:
        self.many = many
        self.camera = camera
        super().__init__(label, **kwargs)

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes the files that have a name; a browser sends an empty one where none was chosen."""
        sent = [value for value in valuelist if isinstance(value, FileStorage) and value.filename]
        self.data = tuple(sent) or None

    def missing(self) -> str:
        """What is said where no photograph was given."""
        return say("A photograph is missing; take it.")


def read_figure(text: str) -> float:
    """The number that a text stands for, with a decimal point or a decimal comma.

    Raises:
        ValueError: it is no figure; the sentence says how one is written.
    """
    plain = text.translate(_MINUS).replace(",", ".")
    try:
        value = float(plain) if plain.isascii() and "_" not in plain else math.nan
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise ValueError(
            say("“%(text)s” is no figure; write it like 14.5 or 14,5.", text=_short(text))
        )
    return value


def _short(text: str) -> str:
    shown = "".join(sign if sign.isprintable() else "�" for sign in text)
    return shown if len(shown) <= _LONGEST else f"{shown[: _LONGEST - 1]}…"

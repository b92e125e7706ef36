"""The form of an entry's body, made from the fields of its kind, and the body that it says."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any, TypeVar

from qa.record.fields import Json
from qa.services.plain_fields import PlainField, Shape, held_at, put_at, row_fields
from qa.texts.saying import say, to_say
from qa.web.form_fields import ChoiceField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.roof.plain_text import read_plain, written_plain
from qa.web.roof.several import SeveralField

PREFIX = "body_"
"""Before the name of every field of the body, so that a problem of the record finds it."""
_KINDS: Mapping[Shape, str] = {Shape.DAY: "date", Shape.MOMENT: "datetime-local"}
_LINES: Mapping[Shape, int] = {
    Shape.LONG_TEXT: 3,
    Shape.POINTS: 5,
    Shape.RINGS: 2,
}
_HINTS: Mapping[Shape, str] = {
    Shape.WORDS: to_say("A comma between them."),
    Shape.NUMBERS: to_say("A semicolon between them."),
    Shape.RINGS: to_say("A line for each; a semicolon between its corners."),
    Shape.MOMENT: to_say("On the site’s clock."),
}
_SIGNED = frozenset({"air_c", "deck_c", "value", "latitude_deg", "longitude_deg"})
"""Fields whose values are often below nought, so that the keys must offer a minus."""
_YES_NO = (Option(value="yes", label="yes"), Option(value="no", label="no"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What a form of a body begins with.

    Attributes:
        body: what stands in the record now, as JSON.
        zone: of the job.
        offered: what a field may hold, by its name, where that is known.
    """

    body: Mapping[str, Json]
    zone: tzinfo
    offered: Mapping[str, Sequence[Option]]


class PlainTextField(WordsField):
    """A field of the record that is typed as text; its data is the record's JSON.

    Attributes:
        plain: what it is.
        is_figure: whether it is one number, so that a phone offers the keys for it.
    """

    def __init__(self, plain: PlainField, held: Held, **kwargs: Any) -> None:
        self.plain = plain
        self._zone = held.zone
        self._held = held_at(held.body, plain.path)
        self.unit = plain.unit
        self.signed = plain.path[-1] in _SIGNED
        self.is_figure = plain.shape in (Shape.NUMBER, Shape.COUNT)
        super().__init__(
            plain.label,
            lines=_LINES.get(plain.shape, 1),
            kind=_KINDS.get(plain.shape, "text"),
            hint=_hint(plain),
            optional_word=_optional_word(plain),
            default=self._held,
            **kwargs,
        )

    def read(self, text: str) -> Json:
        """What was typed, as the record's JSON."""
        return read_plain(self.plain, text, self._zone, self._held)

    def written(self, value: Json) -> str:
        """The value as a person would type it."""
        return written_plain(self.plain, value, self._zone)


class PlainChoiceField(ChoiceField):
    """A field of the record that is one of a few words; its data is the word."""

    def __init__(self, plain: PlainField, held: Held, **kwargs: Any) -> None:
        self.plain = plain
        value = held_at(held.body, plain.path)
        default = {True: "yes", False: "no"}.get(value, value) if value is not None else None
        super().__init__(
            plain.label,
            options=_offered(plain, held, value),
            required=plain.required,
            optional_word=_optional_word(plain),
            default=default,
            **kwargs,
        )


class PlainTicksField(SeveralField):
    """A field of the record that names any number of known things; its data is a tuple of them."""

    def __init__(self, plain: PlainField, held: Held, **kwargs: Any) -> None:
        self.plain = plain
        self._held: list[str] = held_at(held.body, plain.path) or []
        offered = held.offered[plain.path[-1]]
        known = {option.value for option in offered}
        gone = [Option(value=key, label=key) for key in self._held if key not in known]
        super().__init__(
            plain.label,
            options=(*offered, *gone),
            optional_word="" if plain.required else say("if there are any"),
            default=self._held,
            **kwargs,
        )

    @property
    def keys(self) -> list[str]:
        """What is ticked; the same things stay in the order in which the record holds them."""
        if set(self.data) == set(self._held):
            return self._held
        return [option.value for option in self.options if option.value in self.data]


F = TypeVar("F", bound=SiteForm)
AnyPlainField = PlainTextField | PlainChoiceField | PlainTicksField


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldGroup:
    """Fields that belong together on a page: one alone, or those of a row.

    Attributes:
        legend: what the row is, or nothing for a field alone.
        is_spare: whether the row is not in the record yet.
    """

    legend: str
    fields: tuple[AnyPlainField, ...]
    is_spare: bool = False


def body_form(base: type[F], fields: Iterable[PlainField], held: Held) -> type[F]:
    """A form class with the fields of a body after those of `base`; a row has fields of its own."""
    single = (part for plain in fields for part in _parts(plain, held))
    made = {PREFIX + plain.name: _unbound(plain, held) for plain in single}
    return type(f"{base.__name__}OfBody", (base,), made)


def body_fields(form: SiteForm) -> tuple[AnyPlainField, ...]:
    """The fields of the body, in their order."""
    return tuple(field for field in form if isinstance(field, AnyPlainField))


def body_groups(form: SiteForm, fields: Iterable[PlainField], held: Held) -> tuple[FieldGroup, ...]:
    """The fields of the body as the page shows them."""
    made = {field.plain.path: field for field in body_fields(form)}
    groups = []
    for plain in fields:
        if plain.shape is not Shape.ROWS:
            groups.append(FieldGroup(legend="", fields=(made[plain.path],)))
            continue
        rows = _rows(plain, held)
        for row in range(rows + 1):
            own = tuple(made[part.path] for part in row_fields(plain, row))
            legend = say("%(label)s: one more", label=plain.label)
            if row < rows:
                legend = say(
                    "%(label)s, %(row)s of %(rows)s", label=plain.label, row=row + 1, rows=rows
                )
            groups.append(FieldGroup(legend=legend, fields=own, is_spare=row == rows))
    return tuple(groups)


def body_of(form: SiteForm, fields: Iterable[PlainField], held: Held) -> dict[str, Json]:
    """The body that a form says; what it does not ask for stays as it is."""
    body: dict[str, Json] = copy.deepcopy(dict(held.body))
    made = {field.plain.path: field for field in body_fields(form)}
    for plain in fields:
        if plain.shape is Shape.ROWS:
            rows = [row for _, row in typed_rows(form, plain, held)]
            put_at(body, plain.path, _listed(plain, rows))
        else:
            put_at(body, plain.path, _json(made[plain.path]))
    return body


def typed_rows(
    form: SiteForm, plain: PlainField, held: Held
) -> Iterator[tuple[int, dict[str, Json]]]:
    """The rows of a field of rows that are not empty, each with its place on the page."""
    made = {field.plain.path: field for field in body_fields(form)}
    for row in range(_rows(plain, held) + 1):
        values = {part.path[-1]: _json(made[part.path]) for part in row_fields(plain, row)}
        told = {name: value for name, value in values.items() if value is not None}
        if told:
            yield row, told


def _parts(plain: PlainField, held: Held) -> Iterator[PlainField]:
    """A field as it is, or in its place those of every row and of one more."""
    if plain.shape is not Shape.ROWS:
        yield plain
        return
    for row in range(_rows(plain, held) + 1):
        yield from row_fields(plain, row)


def _rows(plain: PlainField, held: Held) -> int:
    return len(held_at(held.body, plain.path) or ())


def _json(field: AnyPlainField) -> Json:
    """What a field says, as the record's JSON."""
    if isinstance(field, PlainTicksField):
        return _listed(field.plain, field.keys)
    if field.plain.shape is Shape.YES_NO and field.data is not None:
        return bool(field.data == "yes")
    return _whole(field.data)


def _optional_word(plain: PlainField) -> str:
    return "" if plain.required or plain.in_full_row else say("if there is one")


def _listed(plain: PlainField, items: Sequence[Json]) -> Json:
    """A list as JSON; an empty one is left out where the kind does not ask for it."""
    return [*items] if items or plain.required else None


def _whole(value: Json) -> Json:
    """A float that is a whole number as one, so that a count is read."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _unbound(plain: PlainField, held: Held) -> Any:
    if plain.shape is Shape.WORDS and plain.path[-1] in held.offered:
        return PlainTicksField(plain, held)
    if plain.shape in (Shape.CHOICE, Shape.YES_NO) or plain.path[-1] in held.offered:
        return PlainChoiceField(plain, held)
    return PlainTextField(plain, held)


def _offered(plain: PlainField, held: Held, value: Json) -> tuple[Option, ...]:
    """What a choice offers; a value that is held though nothing offers it stays one of them."""
    if plain.shape is Shape.YES_NO:
        return _YES_NO
    words = [Option(value=word, label=word.replace("_", " ")) for word in plain.options]
    offered = tuple(held.offered.get(plain.path[-1], words))
    if value is None or value in {option.value for option in offered}:
        return offered
    return (Option(value=str(value), label=str(value)), *offered)


def _hint(plain: PlainField) -> str:
    if plain.shape is Shape.POINTS:
        return say(
            "A line for each: %(names)s, in metres.",
            names=", ".join(("x", "y", "height")[: plain.figures]),
        )
    return _HINTS.get(plain.shape, "")

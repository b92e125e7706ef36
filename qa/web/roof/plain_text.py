"""Values of the record as a person types them, and back: lists, times, points.

Both ways stand together. A personal value that was erased is typed as “(erased)”, and keeps the
digest that stands for it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, tzinfo

from qa.record.fields import Json
from qa.services.plain_fields import PlainField, Shape
from qa.services.telling import ERASED
from qa.texts.saying import say
from qa.web.form_fields import read_figure
from qa.web.roof.rows_field import figures_in

_FIGURE_DIGITS = ".10g"


def written_plain(field: PlainField, value: Json, zone: tzinfo) -> str:
    """A value of the record as a person would type it.

    Args:
        field: what it is.
        value: as JSON; None where there is none.
        zone: in which times are typed.
    """
    if value is None:
        return ""
    if isinstance(value, dict):
        return ERASED
    write = _WRITERS.get(field.shape)
    return str(value) if write is None else write(field, value, zone)


def read_plain(field: PlainField, text: str, zone: tzinfo, held: Json = None) -> Json:
    """What a person typed, as the record's JSON.

    Args:
        field: what it is.
        text: not empty.
        zone: in which times are typed.
        held: what the record holds there, of which erased values keep their digests.

    Raises:
        ValueError: it cannot be read; the sentence says how it is written.
    """
    if text == ERASED and isinstance(held, dict):
        return held
    read = _READERS.get(field.shape)
    return text if read is None else read(field, text, zone, held)


def _local(when: datetime) -> str:
    return when.strftime("%Y-%m-%dT%H:%M:%S" if when.second else "%Y-%m-%dT%H:%M")


def _moment(text: str, zone: tzinfo, held: Json) -> str:
    """A time as JSON; the same moment stays written as it was."""
    try:
        when = datetime.fromisoformat(text)
    except ValueError as error:
        raise ValueError(say("This is no time; write it like 2026-05-12 08:40.")) from error
    when = when if when.tzinfo else when.replace(tzinfo=zone)
    is_same = isinstance(held, str) and datetime.fromisoformat(held) == when
    return held if is_same else when.isoformat()


def _figure(value: float) -> str:
    return format(value, _FIGURE_DIGITS)


def _point(point: Sequence[float]) -> str:
    return ", ".join(map(_figure, point))


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _parts(text: str, separator: str) -> list[str]:
    return [part.strip() for part in text.split(separator) if part.strip()]


def _read_point(text: str, figures: int) -> list[float]:
    parts = figures_in(text, figures)
    if len(parts) != figures:
        names = ", ".join(("x", "y", "height")[:figures])
        raise ValueError(
            say(
                "“%(text)s” has %(count)s figures; write %(names)s.",
                text=text[:40],
                count=len(parts),
                names=names,
            )
        )
    return [read_figure(part) for part in parts]


_WRITERS: Mapping[Shape, Callable[[PlainField, Json, tzinfo], str]] = {
    Shape.NUMBER: lambda _, value, __: _figure(value),
    Shape.COUNT: lambda _, value, __: _figure(value),
    Shape.MOMENT: lambda _, value, zone: _local(datetime.fromisoformat(value).astimezone(zone)),
    Shape.WORDS: lambda _, value, __: ", ".join(value),
    Shape.NUMBERS: lambda _, value, __: "; ".join(map(_figure, value)),
    Shape.POINTS: lambda _, value, __: "\n".join(map(_point, value)),
    Shape.RINGS: lambda _, value, __: "\n".join("; ".join(map(_point, ring)) for ring in value),
}
"""How a value is typed, where it is not typed as it stands."""

_READERS: Mapping[Shape, Callable[[PlainField, str, tzinfo, Json], Json]] = {
    Shape.NUMBER: lambda _, text, __, ___: read_figure(text),
    Shape.COUNT: lambda _, text, __, ___: read_figure(text),
    Shape.MOMENT: lambda _, text, zone, held: _moment(text, zone, held),
    Shape.WORDS: lambda _, text, __, ___: _parts(text, ","),
    Shape.NUMBERS: lambda _, text, __, ___: [read_figure(part) for part in _parts(text, ";")],
    Shape.POINTS: lambda field, text, _, __: [
        _read_point(line, field.figures) for line in _lines(text)
    ],
    Shape.RINGS: lambda _, text, __, ___: [
        [_read_point(point, 2) for point in _parts(line, ";")] for line in _lines(text)
    ],
}
"""The same way back."""

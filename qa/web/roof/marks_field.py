"""Marks upon a photo as a person types them, a line each, and as the record holds them.

`arrow; 20 25 45 45; pinholes` is an arrow from 20 % of the picture's width and 25 % of its height.
A measure and a reference have a place for their length before the words:
`measure; 30 70 62 62; 120 mm; crack`. Both ways stand together here; whether such a mark can be,
the record's own reader says.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from qa.record.fields import Json, shown
from qa.record.kinds.marks import MOST_MARKS, MarkType
from qa.texts.saying import say
from qa.web.form_fields import TypedField, read_figure

_KNOWN = {one.value: one for one in MarkType}
_BETWEEN = re.compile(r"[\s/]+")
_LENGTH = re.compile(r"(.+?)\s*mm", re.IGNORECASE)
_DIGITS = 12
"""Decimals of a share that are kept, so that what is typed again is the same."""


class MarksField(TypedField):
    """Lines of marks; its data is a list of marks as JSON.

    Attributes:
        lines: how many lines the page gives it.
    """

    kind = "text"
    autocomplete = "off"
    lines = 6

    def read(self, text: str) -> list[dict[str, Json]]:
        """The marks of a text.

        Raises:
            ValueError: a line cannot be read, or there are more than a photo carries.
        """
        lines = [line for line in text.splitlines() if line.strip()]
        if len(lines) > MOST_MARKS:
            raise ValueError(
                say(
                    "%(count)s marks are more than can be told apart; draw %(most)s or less.",
                    count=len(lines),
                    most=MOST_MARKS,
                )
            )
        return [_numbered(number, line) for number, line in enumerate(lines, start=1)]

    def written(self, value: Sequence[Mapping[str, Json]] | None) -> str:
        """The marks as they would be typed."""
        return "\n".join(map(written_mark, value or ()))


def _numbered(number: int, line: str) -> dict[str, Json]:
    try:
        return read_mark(line)
    except ValueError as error:
        raise ValueError(say("Line %(number)s: %(error)s", number=number, error=error)) from error


def read_mark(line: str) -> dict[str, Json]:
    """A typed line as a mark's JSON.

    Raises:
        ValueError: it cannot be read; the sentence says how it is written.

    >>> read_mark("arrow; 20 25,5 45 45; pinholes")["points"]
    [[0.2, 0.255], [0.45, 0.45]]
    """
    word, _, rest = line.strip().partition(";")
    type_ = _KNOWN.get(word.strip().lower())
    if type_ is None:
        raise ValueError(
            say(
                "“%(word)s” is no mark; begin with %(known)s.",
                word=word.strip()[:40],
                known=", ".join(_KNOWN),
            )
        )
    places, _, rest = rest.partition(";")
    mark: dict[str, Json] = {"type": type_.value, "points": _points(places)}
    if type_.has_length:
        length, _, rest = rest.partition(";")
        if length.strip():
            mark["length_mm"] = _length(length.strip())
    if rest.strip():
        mark["words"] = rest.strip()
    return mark


def written_mark(mark: Mapping[str, Json]) -> str:
    """A mark's JSON as a typed line.

    >>> written_mark({"type": "measure", "points": [[0.3, 0.7], [0.6, 0.7]], "words": "crack"})
    'measure; 30 70 60 70; ; crack'
    """
    figures = (f"{100 * share:.{_DIGITS}g}" for point in mark["points"] for share in point)
    parts = [mark["type"], " ".join(figures)]
    if _KNOWN[mark["type"]].has_length:
        length = mark.get("length_mm")
        parts.append("" if length is None else f"{length:.{_DIGITS}g} mm")
    parts.append(mark.get("words") or "")
    while not parts[-1]:
        parts.pop()
    return "; ".join(parts)


def _points(text: str) -> list[list[float]]:
    figures = [read_figure(part) for part in _BETWEEN.split(text.strip()) if part]
    if not figures or len(figures) % 2:
        raise ValueError(
            say(
                "“%(text)s” has %(count)s figures; give two for each point, per cent from the "
                "left and from the top.",
                text=text.strip()[:40],
                count=len(figures),
            )
        )
    for figure in figures:
        if not 0 <= figure <= 100:
            raise ValueError(
                say(
                    "%(figure)s lies outside the picture; per cent go from 0 to 100.",
                    figure=shown(figure),
                )
            )
    shares = [round(figure / 100, _DIGITS) for figure in figures]
    return [[across, down] for across, down in zip(shares[::2], shares[1::2], strict=True)]


def _length(text: str) -> float:
    found = _LENGTH.fullmatch(text)
    if found is None:
        raise ValueError(
            say(
                "“%(text)s” is no length; write it like 120 mm, or leave its place empty.",
                text=text[:40],
            )
        )
    return read_figure(found[1])


def line_of_fault(path: str) -> tuple[int, str] | None:
    """The line, from 1, and the part of it that a fault of the record is about; None for none.

    >>> line_of_fault("annotation.marks[3].points[0]")
    (4, 'points')
    """
    found: Any = re.search(r"\bmarks\[(\d+)\](?:\.(\w+))?", path)
    return None if found is None else (int(found[1]) + 1, found[2] or "")

"""A field of several rows of figures, a row a line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from qa.texts.saying import say
from qa.trade.notation import number_text
from qa.web.form_fields import TypedField, read_figure

MOST_ROWS = 500
_BETWEEN = re.compile(r"\s*[;/]\s*|,?\s+")


class RowsField(TypedField):
    """Rows of as many figures as there are columns; its data is a tuple of tuples of numbers.

    Between figures stands a blank, a comma with a blank, a semicolon or a slash; a comma inside a
    figure is a decimal comma.

    Attributes:
        columns: what stands in a row: ("along", "across").
        lines: how many lines the page gives it.
    """

    kind = "text"
    autocomplete = "off"

    def __init__(
        self, label: str, *, columns: Sequence[str], lines: int = 3, **kwargs: Any
    ) -> None:
        self.columns = tuple(columns)
        self.lines = lines
        super().__init__(label, **kwargs)

    def missing(self) -> str:
        """What is said where nothing was given."""
        return say("Give a line for each: %(names)s.", names=", ".join(self.columns))

    def read(self, text: str) -> tuple[tuple[float, ...], ...]:
        """The rows of a text.

        Raises:
            ValueError: a line has another number of figures, or what is no figure.
        """
        lines = [line for line in text.splitlines() if line.strip()]
        if len(lines) > MOST_ROWS:
            raise ValueError(
                say(
                    "%(count)s lines are more than is taken; give %(most)s or less.",
                    count=len(lines),
                    most=MOST_ROWS,
                )
            )
        return tuple(self._row(number, line) for number, line in enumerate(lines, start=1))

    def written(self, value: Any) -> str:
        """The rows as they would be typed."""
        rows = value or ()
        return "\n".join(", ".join(number_text(figure, 9) for figure in row) for row in rows)

    def _row(self, number: int, line: str) -> tuple[float, ...]:
        parts = figures_in(line, len(self.columns))
        if len(parts) != len(self.columns):
            raise ValueError(
                say(
                    "Line %(number)s has %(count)s figures; write %(names)s.",
                    number=number,
                    count=len(parts),
                    names=", ".join(self.columns),
                )
            )
        try:
            return tuple(read_figure(part) for part in parts)
        except ValueError as error:
            raise ValueError(
                say("Line %(number)s: %(error)s", number=number, error=error)
            ) from error


def figures_in(line: str, columns: int) -> list[str]:
    """The figures of a line, apart.

    >>> figures_in("1,5 0,8", 2), figures_in("1.5,0.8", 2), figures_in("1.5, 0.8", 2)
    (['1,5', '0,8'], ['1.5', '0.8'], ['1.5', '0.8'])
    """
    parts = _BETWEEN.split(line.strip())
    if len(parts) == 1 and columns > 1 and line.count(",") == columns - 1:
        parts = line.strip().split(",")
    return [part.strip(",") for part in parts if part]

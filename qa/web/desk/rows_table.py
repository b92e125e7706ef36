"""A field of rows that are edited as a table: a dose chart, gel times, the photos of a stage.

Without script too: a row is added or taken out by a button that sends the form and shows it again,
with everything that was typed and nothing saved.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from wtforms.utils import unset_value

from qa.texts.saying import say
from qa.web.desk.figure_text import exact_text, one_line
from qa.web.form_fields import Option, TypedField, read_figure

MOST_ROWS = 60
STEP = "rows_step"
"""Name of the buttons that add a row or take one out."""
_ADD, _OUT = "add", "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """What stands in one place of every row.

    Attributes:
        name: key of the value in the file.
        label: beside each of its cells.
        kind: "figure", "count", "words", "keys" (words apart by commas) or "choice".
        options: of a choice; the value "" stands for nothing.
        required: whether a row needs it.
        is_wide: whether it takes a line of its own.
    """

    name: str
    label: str
    kind: str = "figure"
    options: tuple[Option, ...] = ()
    required: bool = True
    is_wide: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell, for the page."""

    column: Column
    id: str
    name: str
    typed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownRow:
    """One row, for the page.

    Attributes:
        number: from 1.
        add, out: what the buttons send that add a row after it and take it out.
    """

    number: int
    cells: tuple[Cell, ...]
    add: str
    out: str


class RowsTable(TypedField):
    """Rows of cells; its data is a tuple of mappings, without the cells that are empty."""

    def __init__(self, label: str, *, columns: Sequence[Column], **kwargs: Any) -> None:
        self.columns = tuple(columns)
        self.rows: list[dict[str, str]] = []
        super().__init__(label, **kwargs)

    @property
    def shown(self) -> tuple[ShownRow, ...]:
        """The rows as the page shows them."""
        return tuple(self._shown(at, row) for at, row in enumerate(self.rows))

    @property
    def add_first(self) -> str:
        """What the button sends that adds a row before all others."""
        return f"{_ADD} 0"

    def process(self, formdata: Any, data: Any = unset_value, extra_filters: Any = None) -> None:
        """Takes the program's rows, or those that were sent."""
        super().process(None, data, extra_filters)
        if formdata is None or f"{self.name}-said" not in formdata:
            return
        columns = [formdata.getlist(f"{self.name}-{one.name}") for one in self.columns]
        if len({len(cells) for cells in columns}) != 1:
            self.process_errors.append(say("The rows came incomplete; send them again."))
        names = [one.name for one in self.columns]
        sent = [dict(zip(names, cells, strict=True)) for cells in zip(*columns, strict=False)]
        self.rows = sent[: MOST_ROWS + 1]
        self._read()

    def process_data(self, value: Any) -> None:
        """Takes the rows of a file."""
        self.rows = [
            {one.name: _written(row.get(one.name)) for one in self.columns} for row in value or ()
        ]
        self.data = tuple(value or ())

    def step(self, sent: str) -> None:
        """Adds an empty row, or takes one out."""
        what, _, where = sent.partition(" ")
        at = int(where) if where.isascii() and where.isdigit() and len(where) < 4 else -1
        if what == _ADD and 0 <= at <= len(self.rows) < MOST_ROWS:
            self.rows.insert(at, {one.name: "" for one in self.columns})
        if what == _OUT and 0 <= at < len(self.rows):
            del self.rows[at]
        self.process_errors: list[str] = []

    def _read(self) -> None:
        """Reads every row that holds anything; each fault is told with its row."""
        if len(self.rows) > MOST_ROWS:
            self.process_errors.append(
                say("More than %(most)s rows are not taken.", most=MOST_ROWS)
            )
        filled = [row for row in self.rows if any(cell.strip() for cell in row.values())]
        self.rows = filled
        self.data = tuple(self._row(number, row) for number, row in enumerate(filled, start=1))

    def _row(self, number: int, row: Mapping[str, str]) -> dict[str, object]:
        read: dict[str, object] = {}
        for column in self.columns:
            typed = row[column.name].strip()
            try:
                if typed:
                    read[column.name] = _read_cell(column, typed)
                elif column.required:
                    raise ValueError(say("this is missing; fill it in."))
            except ValueError as error:
                self.process_errors.append(
                    say(
                        "Row %(number)s, %(label)s: %(fault)s",
                        number=number,
                        label=column.label,
                        fault=error,
                    )
                )
        return read

    def _shown(self, at: int, row: Mapping[str, str]) -> ShownRow:
        cells = (
            Cell(
                column=one,
                id=f"{self.id}-{at + 1}-{one.name}",
                name=f"{self.name}-{one.name}",
                typed=row[one.name],
            )
            for one in self.columns
        )
        return ShownRow(
            number=at + 1, cells=tuple(cells), add=f"{_ADD} {at + 1}", out=f"{_OUT} {at}"
        )


def with_options(field: RowsTable, name: str, options: tuple[Option, ...]) -> None:
    """Gives a column of a table its choices."""
    field.columns = tuple(
        replace(one, options=options) if one.name == name else one for one in field.columns
    )


def _read_cell(column: Column, typed: str) -> object:
    if column.kind == "figure":
        return read_figure(typed)
    if column.kind == "count":
        return _count(typed)
    if column.kind == "keys":
        return [part.strip() for part in typed.split(",") if part.strip()]
    if column.kind == "choice":
        if typed not in {one.value for one in column.options}:
            raise ValueError(say("choose one of the answers."))
        return True if typed == "yes" else typed
    return one_line(typed)


def _count(typed: str) -> int:
    figure = read_figure(typed)
    if not figure.is_integer() or abs(figure) > 1e6:
        raise ValueError(say("write a whole number, such as 2."))
    return int(figure)


def _written(value: object) -> str:
    if value is None or value is False:
        return ""
    if value is True:
        return "yes"
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value))
    return exact_text(value) if isinstance(value, int | float) else str(value)

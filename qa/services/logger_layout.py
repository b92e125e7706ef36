"""The layout of a logger's CSV file: found in its first lines, changed by a person, kept by header.

Thermo-hygrometers write a few lines about themselves, a line of headings, and a line for each
reading. Which separator, decimal sign and columns they use is found here and never taken for sure.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from hashlib import sha256

from qa.errors import Problem, RecordError
from qa.services.logger_times import DayOrder, is_day, is_moment, is_time, order_told

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
QUANTITIES = ("air_c", "humidity_pct", "deck_c")
"""What a column may hold of the conditions, by the record's own names."""
MASS = "mass"
"""What a column of a scale holds."""
WITHIN_MIN = 5.0
"""How near a weighing is to its mix where the firm says nothing else; kept with the layout."""
LONGEST_LINE = 10_000
_FIGURE = re.compile(r"[-+−]?\d{1,6}([.,]\d{1,12})?")
_MOST_COLUMNS = 100


class Decimal(StrEnum):
    """The sign before the fraction of a figure."""

    POINT = "."
    COMMA = ","


class MassUnit(StrEnum):
    """The unit in which a scale writes."""

    KG = "kg"
    G = "g"

    @property
    def kg(self) -> float:
        """How many kilograms one of it is."""
        return 1.0 if self is MassUnit.KG else 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvLayout:
    """How a file is read; columns count from 0.

    Attributes:
        separator: between the cells of a line.
        time: column of the moment, or of the date where `clock_time` names another.
        clock_time: column of the time of day, or None where `time` holds both.
        air_c, humidity_pct, deck_c: columns of the readings, or None.
        mass: column of what a scale read, or None; `mass_unit` is its unit.
        weighed_within_min: how near in time a weighing belongs to a mix or a use, minutes.
        clock: name of the logger's clock, see `qa.services.logger_times.clock_named`.
    """

    separator: str
    decimal: Decimal
    order: DayOrder
    time: int | None
    clock_time: int | None = None
    air_c: int | None = None
    humidity_pct: int | None = None
    deck_c: int | None = None
    clock: str = ""
    mass: int | None = None
    mass_unit: MassUnit = MassUnit.KG
    weighed_within_min: float = WITHIN_MIN

    @property
    def text(self) -> str:
        """As it is kept."""
        held = {name: getattr(self, name) for name in self.__slots__}
        return json.dumps(held, separators=(",", ":"), sort_keys=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Headed:
    """The headings of a file.

    Attributes:
        line: number of their line from 1; readings follow it. 0 where there is none.
        names: of the columns; "Column 1" and so on where the file has no headings.
        fingerprint: of the headings as the file writes them, by which a layout is known again.
    """

    line: int
    names: tuple[str, ...]
    fingerprint: str


def kept_layout(text: str) -> CsvLayout:
    """A layout from what `CsvLayout.text` wrote."""
    held = json.loads(text)
    held["decimal"], held["order"] = Decimal(held["decimal"]), DayOrder(held["order"])
    held["mass_unit"] = MassUnit(held.get("mass_unit", MassUnit.KG))
    return CsvLayout(**held)


def find_separator(lines: Sequence[str]) -> str:
    """The separator by which most lines have a time and a figure.

    Raises:
        RecordError: by none has any line both.
    """
    told = {word: sum(map(_is_reading, cells(lines, sign))) for word, sign in SEPARATORS.items()}
    best = max(told, key=lambda word: told[word])
    if told[best] == 0:
        sentence = (
            "This file has no line with a date, a time and a figure, between commas, semicolons or "
            "tabs. Export the readings from the logger as CSV, and choose that file."
        )
        raise RecordError((Problem(place="The file", sentence=sentence, field="logger.file"),))
    return SEPARATORS[best]


def cells(lines: Sequence[str], separator: str) -> Iterator[list[str]]:
    """The cells of each line, without the blanks around them."""
    for line in lines:
        yield split(line, separator)


def split(line: str, separator: str) -> list[str]:
    """The cells of one line, at most a hundred."""
    if '"' in line:
        row = next(csv.reader([line], delimiter=separator), [])
    else:
        row = line.split(separator)
    return [cell.strip() for cell in row[:_MOST_COLUMNS]]


def headed(lines: Sequence[str], separator: str) -> Headed:
    """The headings: the line before the first reading, where that is no reading itself."""
    for number, row in enumerate(cells(lines, separator)):
        if _is_reading(row):
            names = split(lines[number - 1], separator) if number else []
            found = len(names) >= 2
            written = lines[number - 1] if found else f"{separator}{len(row)}"
            told = [*(names if found else []), *[""] * len(row)][: max(len(names), len(row))]
            return Headed(
                line=number if found else 0,
                names=tuple(name or f"Column {at}" for at, name in enumerate(told, start=1)),
                fingerprint=sha256(written.strip().encode()).hexdigest(),
            )
    return Headed(line=0, names=(), fingerprint=sha256(separator.encode()).hexdigest())


def find_layout(lines: Sequence[str], separator: str, *, clock: str) -> CsvLayout:
    """What the first lines of a file tell of its layout.

    Args:
        lines: the first of the file.
        separator: between cells.
        clock: name of the clock that is taken where nothing else is told.
    """
    rows = [row for row in cells(lines, separator) if _is_reading(row)]
    names = headed(lines, separator).names
    time, clock_time = _time_columns(rows)
    taken = {time, clock_time}
    found: dict[str, int | None] = dict.fromkeys((*QUANTITIES, MASS))
    for column, name in enumerate(names):
        quantity = _quantity(name)
        if quantity and column not in taken and found[quantity] is None:
            found[quantity] = column
    return CsvLayout(
        separator=separator,
        decimal=_decimal(rows, taken),
        order=_order(rows, time),
        time=time,
        clock_time=clock_time,
        clock=clock,
        mass_unit=_mass_unit(names, found[MASS]),
        air_c=found["air_c"],
        humidity_pct=found["humidity_pct"],
        deck_c=found["deck_c"],
        mass=found[MASS],
    )


def _is_reading(row: Sequence[str]) -> bool:
    timed = any(is_moment(cell) for cell in row)
    timed = timed or (any(is_day(cell) for cell in row) and any(is_time(cell) for cell in row))
    return timed and any(_FIGURE.fullmatch(cell) for cell in row)


def _time_columns(rows: Sequence[Sequence[str]]) -> tuple[int | None, int | None]:
    if not rows:
        return None, None
    row = rows[0]
    whole = next((at for at, cell in enumerate(row) if is_moment(cell)), None)
    if whole is not None:
        return whole, None
    day = next((at for at, cell in enumerate(row) if is_day(cell)), None)
    return day, next((at for at, cell in enumerate(row) if is_time(cell) and at != day), None)


def _decimal(rows: Sequence[Sequence[str]], taken: set[int | None]) -> Decimal:
    figures = [cell for row in rows for at, cell in enumerate(row) if at not in taken]
    commas = sum("," in cell for cell in figures if _FIGURE.fullmatch(cell))
    points = sum("." in cell for cell in figures if _FIGURE.fullmatch(cell))
    return Decimal.COMMA if commas > points else Decimal.POINT


def _order(rows: Sequence[Sequence[str]], time: int | None) -> DayOrder:
    """The order that the dates tell; day first where they leave it open."""
    told = [order_told(row[time]) for row in rows if time is not None and time < len(row)]
    return next((order for order in told if order), DayOrder.DAY_FIRST)


def _mass_unit(names: Sequence[str], column: int | None) -> MassUnit:
    """The unit that the heading of a mass names; kilograms where it names none."""
    heading = names[column].lower() if column is not None else ""
    in_grams = re.search(r"\(g\)|\[g\]|\bg$|\bgrams?\b", heading)
    return MassUnit.G if in_grams and "kg" not in heading else MassUnit.KG


def _quantity(heading: str) -> str | None:
    """What a heading in English names, where it is plain; the dew point and °F are left alone."""
    words = heading.lower()
    if "dew" in words or "°f" in words or "fahrenheit" in words or "(f)" in words:
        return None
    if re.search(r"\b(mass|weight|weighed|net|kg|grams?)\b|\(g\)|\[g\]", words):
        return MASS
    if re.search(r"humid|\brh\b|%", words):
        return "humidity_pct"
    if re.search(r"deck|surface|probe", words):
        return "deck_c"
    return "air_c" if re.search(r"temp|\bair\b|°c", words) else None

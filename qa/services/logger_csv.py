"""Reading a logger's CSV line by line: as many readings as there are, in the memory of one."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO

from qa.errors import Problem, RecordError
from qa.services.logger_layout import LONGEST_LINE, MASS, QUANTITIES, CsvLayout, Decimal, split
from qa.services.logger_times import clock_named, read_moment

SAMPLE_BYTES = 64 * 1024
_RANGES = {"air_c": (-60.0, 60.0), "humidity_pct": (0.0, 100.0), "deck_c": (-60.0, 100.0),
           MASS: (-100_000.0, 1_000_000.0)}  # fmt: skip
"""What the record can hold; humidity is above its lower end. A scale shows less than nothing where
its tare was taken away."""


@dataclass(frozen=True, slots=True)
class LoggerReading:
    """One line of a logger.

    Attributes:
        row: number of the line in the file, from 1.
        at: UTC.
    """

    row: int
    at: datetime
    air_c: float | None
    humidity_pct: float | None
    deck_c: float | None
    mass_kg: float | None = None

    @property
    def is_of_air(self) -> bool:
        """Whether it says anything of the conditions."""
        return any(value is not None for value in (self.air_c, self.humidity_pct, self.deck_c))


@dataclass(frozen=True, slots=True)
class UnreadRow:
    """A line that says nothing which can be taken.

    Attributes:
        row: number of the line in the file, from 1.
        sentence: why.
    """

    row: int
    sentence: str


def first_lines(sample: bytes) -> tuple[list[str], str]:
    """The first lines of a file, and its encoding.

    Args:
        sample: the first `SAMPLE_BYTES` of it, or all.

    Raises:
        RecordError: it is empty, or no text.
    """
    if not sample.strip():
        raise _refused("This file is empty. Export the readings again, and choose that file.")
    encoding = _encoding(sample)
    text = sample.decode(encoding, errors="replace")
    strange = sum(not sign.isprintable() and sign not in "\t\r\n\ufeff" for sign in text)
    if "\0" in text or strange > len(text) / 100:
        raise _refused(
            "This file is no text, so it is no CSV. Export the readings from the logger as CSV, "
            "and choose that file."
        )
    lines = [line.rstrip("\r") for line in text.split("\n")]
    return lines[:-1] if len(sample) >= SAMPLE_BYTES else lines, encoding


def readings(
    file: BinaryIO, layout: CsvLayout, *, encoding: str, after: int
) -> Iterator[LoggerReading | UnreadRow]:
    """Every line with its reading, or why it has none; empty lines are passed over.

    Args:
        file: from its beginning.
        layout: how it is read; it names a time.
        encoding: as `first_lines` found it.
        after: number of the line of headings; what stands up to it is passed over.
    """
    clock = clock_named(layout.clock)
    columns = tuple((name, getattr(layout, name)) for name in (*QUANTITIES, MASS))
    for row, line in enumerate(_lines(file, encoding), start=1):
        if row <= after or not line.strip():
            continue
        cells = split(line, layout.separator)
        try:
            at = read_moment(_moment(cells, layout), layout.order, clock)
        except (ValueError, IndexError):
            yield UnreadRow(row, "has no date and time that can be read")
            continue
        try:
            values = [_value(cells, name, column, layout.decimal) for name, column in columns]
        except ValueError as error:
            yield UnreadRow(row, str(error))
            continue
        if all(value is None for value in values):
            yield UnreadRow(row, "has no figure in the columns that are read")
        else:
            air_c, humidity_pct, deck_c, mass = values
            mass_kg = None if mass is None else mass * layout.mass_unit.kg
            yield LoggerReading(row, at, air_c, humidity_pct, deck_c, mass_kg)


def _lines(file: BinaryIO, encoding: str) -> Iterator[str]:
    """The lines; one that never ends is cut, so that it does not fill the memory."""
    if encoding == "utf-16":
        text = io.TextIOWrapper(file, encoding=encoding, errors="replace", newline=None)
        while line := text.readline(LONGEST_LINE):
            yield line
        text.detach()
        return
    while raw := file.readline(LONGEST_LINE):
        yield raw.decode(encoding, errors="replace")


def _moment(cells: list[str], layout: CsvLayout) -> str:
    assert layout.time is not None
    day = cells[layout.time]
    return day if layout.clock_time is None else f"{day} {cells[layout.clock_time]}"


def _value(cells: list[str], name: str, column: int | None, decimal: Decimal) -> float | None:
    """The figure of a column; None where the column is not read or the cell is empty.

    Raises:
        ValueError: it is no figure, or none that can be true.
    """
    if column is None or column >= len(cells) or not cells[column]:
        return None
    text = cells[column].replace("−", "-")
    other = "." if decimal is Decimal.COMMA else ","
    if other in text or "_" in text:
        raise ValueError(f"has a figure with “{other}” where the decimal sign is “{decimal}”")
    try:
        value = float(text.replace(decimal, "."))
    except ValueError:
        raise ValueError("has words where a figure should stand") from None
    least, most = _RANGES[name]
    if not math.isfinite(value) or not least <= value <= most or value == least == 0:
        raise ValueError("has a figure that no such sensor reads; compare the columns and units")
    return value


def _encoding(sample: bytes) -> str:
    if sample.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    whole = sample if len(sample) < SAMPLE_BYTES else sample[: sample.rfind(b"\n") + 1]
    try:
        whole.decode("utf-8-sig")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8-sig"


def _refused(sentence: str) -> RecordError:
    return RecordError((Problem(place="The file", sentence=sentence, field="logger.file"),))

"""A logger's CSV is read as it was meant, whatever its separator, decimal sign, dates and clock."""

from __future__ import annotations

import contextlib
import io
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from qa.errors import RecordError
from qa.services.logger_csv import LoggerReading, UnreadRow, first_lines, readings
from qa.services.logger_layout import (
    SEPARATORS,
    CsvLayout,
    Decimal,
    find_layout,
    find_separator,
    headed,
    kept_layout,
)
from qa.services.logger_times import DayOrder, clock_named, read_moment

HEADINGS = ("Time", "Temperature °C", "Relative humidity", "Surface")
FIGURES = st.integers(min_value=-400, max_value=400).map(lambda tenths: tenths / 10)
HUMIDITIES = st.integers(min_value=1, max_value=1000).map(lambda tenths: tenths / 10)
MINUTES = st.datetimes(datetime(2011, 1, 1), datetime(2038, 1, 1)).map(  # noqa: DTZ001
    lambda at: at.replace(second=0, microsecond=0)
)


class Way(NamedTuple):
    """How a logger writes."""

    separator: str
    decimal: str
    dates: str


WAYS = [
    Way(separator, decimal, dates)
    for separator in SEPARATORS.values()
    for decimal in (".", ",")
    for dates in ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M:%S", "%d.%m.%Y %H:%M", "%m/%d/%Y %I:%M %p")
    if (separator, decimal) != (",", ",")
]


def written(way: Way, rows: list[tuple[datetime, float, float, float]]) -> bytes:
    lines = ["Device 7", way.separator.join(HEADINGS)]
    for at, *figures in rows:
        told = (f"{figure:.1f}".replace(".", way.decimal) for figure in figures)
        lines.append(way.separator.join((at.strftime(way.dates), *told)))
    return "\r\n".join((*lines, "")).encode()


def read(content: bytes, **changed: object) -> list[LoggerReading | UnreadRow]:
    lines, encoding = first_lines(content)
    separator = find_separator(lines)
    layout = find_layout(lines, separator, clock="UTC")
    layout = CsvLayout(**({name: getattr(layout, name) for name in layout.__slots__} | changed))
    after = headed(lines, separator).line
    return list(readings(io.BytesIO(content), layout, encoding=encoding, after=after))


@given(
    st.sampled_from(WAYS),
    st.lists(st.tuples(MINUTES, FIGURES, HUMIDITIES, FIGURES), min_size=1, max_size=20),
)
def test_what_was_written_is_read_again(
    way: Way, rows: list[tuple[datetime, float, float, float]]
) -> None:
    order = DayOrder.MONTH_FIRST if way.dates.startswith("%m") else DayOrder.DAY_FIRST
    again = read(written(way, rows), order=order)
    told = [
        (r.row, r.at, r.air_c, r.humidity_pct, r.deck_c)
        for r in again
        if isinstance(r, LoggerReading)
    ]
    assert told == [(at, row[0].replace(tzinfo=UTC), *row[1:]) for at, row in enumerate(rows, 3)]


@given(st.sampled_from(WAYS), st.lists(st.tuples(MINUTES, FIGURES), min_size=2, max_size=9))
def test_separator_and_decimal_sign_are_found(way: Way, rows: list[tuple[datetime, float]]) -> None:
    lines, _ = first_lines(written(way, [(at, air, 50.5, 9.5) for at, air in rows]))
    separator = find_separator(lines)
    layout = find_layout(lines, separator, clock="UTC")
    assert (separator, layout.decimal) == (way.separator, way.decimal)
    assert (layout.time, layout.air_c, layout.humidity_pct, layout.deck_c) == (0, 1, 2, 3)
    assert kept_layout(layout.text) == layout


@given(st.binary(max_size=400))
@example(b"\xff\xfe1\x00")
@example(b"Time,Air\n2026-02-30 10:00,5\n")
def test_no_bytes_raise_anything_but_a_sentence(content: bytes) -> None:
    with contextlib.suppress(RecordError):
        read(content)


def test_order_of_dates_is_told_by_a_day_above_twelve() -> None:
    for dates, order in (("%d/%m/%Y %H:%M", "day"), ("%m/%d/%Y %H:%M", "month")):
        way = Way(",", ".", dates)
        begins = datetime(2026, 5, 12, tzinfo=UTC)
        rows = [(begins + timedelta(days=day), 5.0, 50.0, 5.0) for day in range(3)]
        lines, _ = first_lines(written(way, rows))
        assert find_layout(lines, ",", clock="UTC").order == order


def test_columns_of_day_and_time_are_read_together() -> None:
    content = b"Date;Clock;RH %;Dew point\n12.05.2026;09:15;61,5;4,0\n"
    assert read(content) == [
        LoggerReading(2, datetime(2026, 5, 12, 9, 15, tzinfo=UTC), None, 61.5, None)
    ]


@pytest.mark.parametrize(
    ("cell", "sentence"),
    [
        ("warm", "words where a figure"),
        ("14,5", "decimal sign is"),
        ("1e9", "no such sensor"),
        ("nan", "no such sensor"),
        ("", "no figure in the columns"),
    ],
)
def test_line_that_cannot_be_read_says_why(cell: str, sentence: str) -> None:
    content = f'Time;Air °C\n2026-05-12 09:00;5.0\n2026-05-12 09:01;"{cell}"\n'.encode()
    unread = read(content)[1]
    assert isinstance(unread, UnreadRow)
    assert (unread.row, sentence in unread.sentence) == (3, True)


@pytest.mark.parametrize(
    "content", [b"", b" \r\n", b"\x89PNG\r\n\x1a\n\0\0", b"PK\x03\x04" * 50, b"a,b\n1,2\n"]
)
def test_what_is_no_list_of_readings_is_refused(content: bytes) -> None:
    with pytest.raises(RecordError, match=r"CSV|choose that file"):
        read(content)


def test_offset_in_the_file_goes_before_the_clock() -> None:
    text = "2026-07-01T10:00:00+02:00"
    assert read_moment(text, DayOrder.DAY_FIRST, UTC) == datetime(2026, 7, 1, 8, tzinfo=UTC)


def test_clock_in_a_zone_follows_its_summer_time() -> None:
    zone = clock_named("Europe/London")
    for month, hour in ((1, 10), (7, 9)):
        moment = read_moment(f"2026-0{month}-01 10:00", DayOrder.DAY_FIRST, zone)
        assert moment == datetime(2026, month, 1, hour, tzinfo=UTC)


@pytest.mark.parametrize("name", ["", "Nowhere/Land", "+99:00", "../etc", "+1:2:3"])
def test_clock_that_nobody_knows_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="No clock is called"):
        clock_named(name)


def test_decimal_sign_is_one_of_two() -> None:
    assert {sign.value for sign in Decimal} == {".", ","}

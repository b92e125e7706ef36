"""Bar codes of batch labels, by the GS1 General Specifications (from memory)."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.services.bar_code import SEPARATOR, Label, read_label

TODAY = date(2026, 5, 12)
GTIN = "09501101530003"  # the number that the GS1 specifications use in their own examples


def read(code: str) -> Label:
    return read_label(code, today=TODAY)


def test_label_gives_product_batch_and_date() -> None:
    label = read(f"]C101{GTIN}1727063010R 2231")
    assert label.gtin == GTIN
    assert label.batch_number == "R 2231"
    assert label.use_by == date(2027, 6, 30)


def test_separator_ends_a_batch_number() -> None:
    label = read(f"]d201{GTIN}10R2231{SEPARATOR}3102002500{SEPARATOR}17270630")
    assert (label.batch_number, label.net_kg) == ("R2231", 25.0)
    assert label.use_by == date(2027, 6, 30)


def test_predefined_lengths_need_no_separator() -> None:
    label = read(f"01{GTIN}310300250017270630105A")
    assert label.net_kg == 2.5
    assert label.use_by == date(2027, 6, 30)
    assert label.batch_number == "5A"


def test_brackets_as_printed_are_read() -> None:
    label = read(f"(01){GTIN}(17)270600(10)A-1")
    assert label.use_by == date(2027, 6, 30)
    assert label.batch_number == "A-1"


@pytest.mark.parametrize(
    ("digits", "day"),
    [("280200", date(2028, 2, 29)), ("270200", date(2027, 2, 28)), ("261231", date(2026, 12, 31))],
)
def test_day_nought_is_the_months_last(digits: str, day: date) -> None:
    assert read(f"01{GTIN}17{digits}").use_by == day


@pytest.mark.parametrize(
    ("today", "digits", "year"),
    [
        (TODAY, "760101", 2076),  # 50 years ahead still counts
        (TODAY, "770101", 1977),  # 51 years ahead is the century before
        (date(1996, 1, 1), "450101", 2045),  # 51 years back is the century after
        (date(1996, 1, 1), "470101", 1947),
    ],
)
def test_century_is_the_nearest(today: date, digits: str, year: int) -> None:
    day = read_label(f"01{GTIN}17{digits}", today=today).use_by
    assert day is not None
    assert day.year == year


@pytest.mark.parametrize("digits", ["271301", "270231", "270000"])
def test_impossible_day_is_no_date(digits: str) -> None:
    label = read(f"01{GTIN}17{digits}10X")
    assert label.use_by is None
    assert label.batch_number == "X"


def test_wrong_check_digit_is_no_product() -> None:
    assert read("019501101530004910A1").gtin is None
    assert read("01095011015300041").gtin is None


def test_best_before_stands_in_for_use_by() -> None:
    assert read(f"01{GTIN}15261130").use_by == date(2026, 11, 30)


def test_litres_are_told_apart_from_kilograms() -> None:
    label = read(f"01{GTIN}3151000050")
    assert (label.net_kg, label.net_l) == (None, 5.0)


def test_trade_item_number_alone_names_no_batch() -> None:
    label = read("9501101530003")
    assert (label.gtin, label.batch_number) == (GTIN, None)


@pytest.mark.parametrize("code", ["R-2231/07", "2231", "10A1", "17270630"])
def test_other_code_is_the_batch_number(code: str) -> None:
    label = read(code)
    assert (label.batch_number, label.gtin, label.use_by) == (code, None, None)


def test_batch_longer_than_the_rules_is_text() -> None:
    code = f"01{GTIN}10{'A' * 21}"
    assert read(code).batch_number == code


def test_unknown_identifiers_are_passed_over() -> None:
    label = read(f"01{GTIN}21SERIAL7{SEPARATOR}10B9{SEPARATOR}2403X")
    assert label.batch_number == "B9"


def test_nothing_says_nothing() -> None:
    assert read("  ") == Label(text="")


@given(st.text(max_size=600))
def test_any_text_is_answered(code: str) -> None:
    label = read(code)
    assert label.batch_number is None or label.batch_number.isprintable()


@given(
    batch=st.from_regex(r"[A-Z0-9/-]{1,20}", fullmatch=True),
    day=st.dates(min_value=date(1977, 1, 1), max_value=date(2076, 12, 31)),
    grams=st.integers(1, 999_999),
)
def test_what_was_written_is_read_back(batch: str, day: date, grams: int) -> None:
    label = read(f"]C101{GTIN}17{day:%y%m%d}3103{grams:06}10{batch}")
    assert (label.batch_number, label.use_by, label.net_kg) == (batch, day, grams / 1000)

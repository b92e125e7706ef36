"""What a bar code on a batch label says: product, batch, use-by date, net weight.

Pure: the decoded text goes in, a value comes out. A code by the GS1 rules is a row of element
strings, each an application identifier (AI) and its data. AIs of predefined length follow each
other without a mark; all others end at a separator (FNC1, sent as ASCII 29) or at the end. Any
other text stands as it is: many makers print nothing but the batch number.

Source: GS1 General Specifications, sections 3 (AIs), 5.10.1 (predefined lengths), 7.8 (element
strings) and 7.12 (century and day of a date), from memory.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

SEPARATOR = "\x1d"
_SYMBOLOGY = re.compile(r"\][A-Za-z][0-9A-Za-z]")
"""What some readers send before the data; ]C1, ]d2, ]e0, ]J1 and ]Q3 stand for GS1 codes."""
_IN_BRACKETS = re.compile(r"\((\d{2,4})\)([^(]*)")
"""The form that is printed below a code for people: (01)05012345678900(10)A1."""
LONGEST = 400

_PREDEFINED = (
    {"00": 18, "01": 14, "02": 14, "03": 14, "04": 16, "20": 2}
    | {f"{prefix}": 6 for prefix in range(11, 20)}
    | {f"{prefix}": 6 for prefix in range(31, 37)}
    | {"41": 13}
)
"""Digits of data that follow an AI of a predefined length, by the first two digits of the AI."""
_AI_DIGITS = {"23": 3, "24": 3, "25": 3, "40": 3, "41": 3, "42": 3, "71": 3} | {
    f"{prefix}": 4 for prefix in (*range(31, 37), 39, 43, *range(70, 71), 72, 80, 81, 82)
}
"""How many digits an AI has; two where its first two are not named here."""
_LONGEST_DATA = 90

_LENGTHS_OF_GTIN = (8, 12, 13, 14)


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What a batch label says; None where it says nothing of it.

    Attributes:
        text: the code as it was read, without symbology identifier; separators as blanks.
        gtin: Global Trade Item Number of 14 digits, whose check digit holds.
        batch_number: AI 10; for a code that is no GS1 code and no trade item number, its text.
        use_by: AI 17, or AI 15 (best before) where there is no AI 17.
        net_kg: AI 310n.
        net_l: AI 315n.
    """

    text: str
    gtin: str | None = None
    batch_number: str | None = None
    use_by: date | None = None
    net_kg: float | None = None
    net_l: float | None = None


def read_label(code: str, *, today: date) -> Label:
    """What a code says.

    Args:
        code: as a reader decoded it, with or without symbology identifier, or as it is printed
            below the code, with brackets.
        today: the current day, by which two digits of a year become four.
    """
    code = code.strip()[:LONGEST]
    plain = _SYMBOLOGY.sub("", code, count=1) if _SYMBOLOGY.match(code) else code
    text = plain.strip(SEPARATOR).replace(SEPARATOR, " ").strip()
    elements = _elements(plain)
    if elements is None:
        return _other(text)
    return Label(
        text=text,
        gtin=_gtin(elements.get("01") or elements.get("02")),
        batch_number=elements.get("10"),
        use_by=_day(elements.get("17") or elements.get("15"), today),
        net_kg=_decimal(elements, "310"),
        net_l=_decimal(elements, "315"),
    )


def _other(text: str) -> Label:
    """A code that is no row of element strings: a trade item number alone, or the maker's own."""
    if text.isdigit() and len(text) in _LENGTHS_OF_GTIN and _gtin(text):
        return Label(text=text, gtin=_gtin(text))
    printable = text if text.isprintable() else ""
    return Label(text=printable, batch_number=printable[:80] or None)


def _elements(plain: str) -> dict[str, str] | None:
    """The data by AI; None where the text is no complete row of element strings."""
    bracketed = _IN_BRACKETS.findall(plain)
    if bracketed and "".join(f"({ai}){data}" for ai, data in bracketed) == plain:
        pairs = [(ai, data.strip()) for ai, data in bracketed]
        return dict(pairs) if all(_fits(ai, data) for ai, data in pairs) else None
    try:
        found = dict(_split(plain.lstrip(SEPARATOR)))
    except ValueError:
        return None
    # A bare number may happen to look like an AI and its data; a label's code names its product.
    return found if found.keys() & {"01", "02"} or SEPARATOR in plain else None


def _split(rest: str) -> Iterator[tuple[str, str]]:
    """The element strings of a row.

    Raises:
        ValueError: the row cannot be one by the GS1 rules.
    """
    while rest:
        ai = rest[: _AI_DIGITS.get(rest[:2], 2)]
        length = _PREDEFINED.get(ai[:2])
        if length is None:
            data, _, following = rest[len(ai) :].partition(SEPARATOR)
        else:
            data = rest[len(ai) : len(ai) + length]
            following = rest[len(ai) + length :].removeprefix(SEPARATOR)
        if not _fits(ai, data):
            raise ValueError(ai)
        yield ai, data
        rest = following


def _fits(ai: str, data: str) -> bool:
    if not ai.isascii() or not ai.isdigit() or not data.isascii() or not data.isprintable():
        return False
    if ai == "10":
        return 1 <= len(data) <= 20
    length = _PREDEFINED.get(ai[:2])
    if length is None:
        return 1 <= len(data) <= _LONGEST_DATA
    return data.isdigit() and len(data) == length


def _gtin(digits: str | None) -> str | None:
    """The number on 14 digits, or None where its check digit does not hold (GS1, 7.9.1)."""
    if digits is None:
        return None
    full = digits.rjust(14, "0")
    weighed = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(full))
    return full if weighed % 10 == 0 else None


def _day(digits: str | None, today: date) -> date | None:
    """A date of six digits; day 00 is the month's last, the century the nearest (GS1, 7.12)."""
    if digits is None:
        return None
    year, month, day = int(digits[:2]), int(digits[2:4]), int(digits[4:])
    century = today.year - today.year % 100
    apart = year - today.year % 100
    if 51 <= apart <= 99:
        century -= 100
    elif -99 <= apart <= -50:
        century += 100
    try:
        last = calendar.monthrange(century + year, month)[1]
        return date(century + year, month, day or last)
    except (ValueError, calendar.IllegalMonthError):
        return None


def _decimal(elements: dict[str, str], ai: str) -> float | None:
    """A measure whose AI ends in the number of its decimals: (3102)002500 is 25.00."""
    for name, data in elements.items():
        if name.startswith(ai) and len(name) == len(ai) + 1 and int(name[-1]) <= len(data):
            value = int(data) / 10 ** int(name[-1])
            return value or None
    return None

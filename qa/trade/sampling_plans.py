"""Sampling plans of MIL-STD-105E: single sampling, normal inspection, general level II.

Source: MIL-STD-105E, public domain, table II-A as printed in a public acceptance table that gives
rejection numbers (acceptance = rejection - 1); ISO 2859-1 has the same plans (from memory). One
cell is in doubt: for letter A at 10 the public table prints an arrow up, above which there is
nothing; the standard as remembered has an arrow down, which is taken here.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from qa.errors import DomainError

QUALITY_LEVELS = (0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0, 15.0)
"""The acceptable quality levels of the table, % of items bad (or bad points a hundred items)."""

_LETTERS = "ABCDEFGHJKLMNPQ"
_SAMPLES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250)
_LARGEST_LOTS = (8, 15, 25, 50, 90, 150, 280, 500, 1200, 3200, 10_000, 35_000, 150_000, 500_000)

# Rejection numbers, a row a letter and a column a quality level; an arrow says: the nearest plan
# below, or above.
_REJECTION = (
    " ↓  ↓  ↓  ↓  ↓  1  ↓  ↓",  # A
    " ↓  ↓  ↓  ↓  1  ↑  ↓  2",  # B
    " ↓  ↓  ↓  1  ↑  ↓  2  3",  # C
    " ↓  ↓  1  ↑  ↓  2  3  4",  # D
    " ↓  1  ↑  ↓  2  3  4  6",  # E
    " 1  ↑  ↓  2  3  4  6  8",  # F
    " ↑  ↓  2  3  4  6  8 11",  # G
    " ↓  2  3  4  6  8 11 15",  # H
    " 2  3  4  6  8 11 15 22",  # J
    " 3  4  6  8 11 15 22  ↑",  # K
    " 4  6  8 11 15 22  ↑  ↑",  # L
    " 6  8 11 15 22  ↑  ↑  ↑",  # M
    " 8 11 15 22  ↑  ↑  ↑  ↑",  # N
    "11 15 22  ↑  ↑  ↑  ↑  ↑",  # P
    "15 22  ↑  ↑  ↑  ↑  ↑  ↑",  # Q
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplingPlan:
    """How many of a lot to look at, and how many bad ones pass.

    Attributes:
        lot_letter: the letter that the lot's size asks for.
        letter: the letter of the plan used, another one where the table has an arrow.
        n: items to look at; the whole lot where the plan asks for as many or more.
        accept: the lot passes with so many bad ones or fewer.
        reject: the lot fails with so many or more.
        is_whole_lot: whether every item is looked at.
    """

    lot_letter: str
    letter: str
    n: int
    accept: int
    reject: int
    is_whole_lot: bool


def plan(lot_size: int, aql: float) -> SamplingPlan:
    """Return the plan for a lot at an acceptable quality level.

    Args:
        lot_size: items in the lot, a whole number, 2 or more.
        aql: acceptable quality level, %, one of `QUALITY_LEVELS`.

    Raises:
        DomainError: the lot is smaller than 2, or the level is not in the table.

    Source: MIL-STD-105E, tables I and II-A.

    >>> audit = plan(60, 2.5)
    >>> audit.lot_letter, audit.letter, audit.n, audit.accept, audit.reject
    ('E', 'F', 20, 1, 2)
    """
    if lot_size != int(lot_size) or lot_size < 2:
        raise DomainError("lot size", lot_size, "a whole number, 2 or more")
    if aql not in QUALITY_LEVELS:
        levels = ", ".join(f"{level:g}" for level in QUALITY_LEVELS)
        raise DomainError("acceptable quality level, %", aql, f"one of {levels}")
    lot_row = bisect_left(_LARGEST_LOTS, lot_size)
    row = _row_of_plan(lot_row, QUALITY_LEVELS.index(aql))
    reject = int(_cell(row, QUALITY_LEVELS.index(aql)))
    return SamplingPlan(
        lot_letter=_LETTERS[lot_row],
        letter=_LETTERS[row],
        n=min(_SAMPLES[row], lot_size),
        accept=reject - 1,
        reject=reject,
        is_whole_lot=_SAMPLES[row] >= lot_size,
    )


def _row_of_plan(row: int, column: int) -> int:
    """Follow the arrow in a cell to the first cell that holds a number."""
    steps = {"↓": 1, "↑": -1}
    step = steps.get(_cell(row, column), 0)
    while _cell(row, column) in steps:
        row += step
    return row


def _cell(row: int, column: int) -> str:
    return _REJECTION[row].split()[column]

"""Lists as CSV that any spreadsheet reads and none runs."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_RUNS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a spreadsheet takes for the beginning of a formula: common practice, no source."""

Cell = str | int | float | None


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """A table as text: a header, commas, every line ended by CR LF.

    A text that begins like a formula gets an apostrophe before it; numbers stay as they are.

    Source: RFC 4180.
    """
    written = io.StringIO(newline="")
    writer = csv.writer(written, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows([_harmless(cell) for cell in row] for row in rows)
    return written.getvalue()


def _harmless(cell: Cell) -> Cell:
    if isinstance(cell, str) and cell.lstrip(" \u00a0").startswith(_RUNS):
        return f"'{cell}"
    return cell

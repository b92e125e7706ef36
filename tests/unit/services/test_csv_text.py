"""CSV that any spreadsheet reads and none runs; source of the form: RFC 4180."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.services.csv_text import csv_text


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@a", "\t=1", "\r=1", "\n=1", "  =cmd"])
def test_cell_that_begins_like_a_formula_is_harmless(cell: str) -> None:
    assert csv_text(("a",), [(cell,)]).split("\r\n", 1)[1].lstrip('"').startswith("'")


def test_numbers_stay_as_they_are() -> None:
    assert csv_text(("a", "b", "c"), [(-1, 2.5, None)]) == "a,b,c\r\n-1,2.5,\r\n"


def test_quotes_commas_and_line_ends_are_quoted() -> None:
    assert csv_text(("a",), [('say "yes", and\nno',)]) == 'a\r\n"say ""yes"", and\nno"\r\n'


@given(st.lists(st.text(alphabet=st.characters(exclude_categories=("Cs",))), min_size=1))
def test_any_text_is_read_back_but_for_the_apostrophe(cells: list[str]) -> None:
    written = csv_text(["x"] * len(cells), [cells])
    _, *rows = csv.reader(io.StringIO(written, newline=""))
    (row,) = [found for found in rows if found] or [[""] * len(cells)]
    assert [one.removeprefix("'") for one in row] == [one.removeprefix("'") for one in cells]

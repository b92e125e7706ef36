"""Files of levels, and their broken twins."""

from __future__ import annotations

import pytest

from qa.errors import RecordError
from qa.record.level_list import parse_levels


@pytest.mark.parametrize(
    "text",
    [
        "0,0,0.01\n4,0,0.06",
        "x,y,z\n0, 0, 0.01\n\n4, 0, 0.06\n",
        "# levelled twice\n0;0;0.01\r\n4;0;0.06\r\n",
        "0 0\t0.01\n  4  0  6e-2\n",
    ],
)
def test_levels_are_read_however_they_are_parted(text: str) -> None:
    assert parse_levels(text, file="levels.csv") == ((0.0, 0.0, 0.01), (4.0, 0.0, 0.06))


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", "levels.csv"),
        ("x,y,z\n", "levels.csv"),
        ("0,0\n", "levels.csv, line 1"),
        ("0,0,0,0\n", "levels.csv, line 1"),
        ("0,0,0\nx,y,z\n", "levels.csv, line 2"),
        ("0,0,0\n1,1,\n", "levels.csv, line 2"),
    ],
)
def test_what_is_no_level_is_refused_by_line(text: str, place: str) -> None:
    with pytest.raises(RecordError) as caught:
        parse_levels(text, file="levels.csv")
    assert [problem.place for problem in caught.value.problems] == [place]

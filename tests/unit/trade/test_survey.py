"""What makes a survey unfit, and how the sentence names the level."""

from __future__ import annotations

import pytest

from qa.errors import DomainError
from qa.trade.survey import Level, at_one_place, in_one_line, require_levels

SOUND: list[Level] = [(0, 0, 0.0), (4, 0, 0.05), (0, 3, -0.2)]


def test_three_finite_levels_are_taken() -> None:
    require_levels(SOUND)
    require_levels([(-1e8, 1e8, -1e9), *SOUND])


@pytest.mark.parametrize(
    ("levels", "sentence"),
    [
        ([], "number of levels is 0"),
        (SOUND[:2], "number of levels is 2"),
        ([*SOUND, (1, float("nan"), 0.0)], "place of level 4, m is"),
        ([*SOUND, (1.1e8, 0, 0.0)], "place of level 4, m is"),
        ([*SOUND, (1, 1, float("inf"))], "height of level 4, m is inf"),
    ],
    ids=["none", "two", "no_place", "too_far", "no_height"],
)
def test_unfit_level_is_named_by_its_number(levels: list[Level], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        require_levels(levels)


def test_line_is_named_by_its_outermost_levels() -> None:
    sentence = str(in_one_line([(5, 3, 0.0), (5, 1, 0.0), (5, 7.25, 0.1)]))
    assert "from level 2 at (5.000, 1.000) m to level 3 at (5.000, 7.250) m" in sentence


def test_doubled_place_names_both_levels() -> None:
    sentence = str(at_one_place([(2, 5, 0.0), (1, 1, 0.0), (2, 5, 0.1)], 0, 2))
    assert "place of level 3 is (2.000, 5.000) m, that of level 1" in sentence

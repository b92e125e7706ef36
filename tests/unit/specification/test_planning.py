"""The figures for planning in the general specification, and broken twins of their tables.

Common practice rows have no source; the published ones name a board maker's guide and a maker's
data sheet for a catalyst.
"""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest

import qa.specification
from qa.errors import SpecificationError
from qa.specification.loader import built_in, parse_specification
from qa.specification.plan_figures import Planning
from qa.specification.planning import PLANNING_UNITS, SIZE_UNITS
from qa.specification.sourced import Basis, Figure, Sizes

PUBLISHED, PRACTICE, CHOICE = Basis.PUBLISHED, Basis.COMMON_PRACTICE, Basis.PROJECT_CHOICE
GOOD = Path(qa.specification.__file__).with_name("general-grp.toml").read_text(encoding="utf-8")
PLANNING = built_in("general-grp/1").planning

FIGURES = {
    "board_length_m": (2.4, "m", PRACTICE),
    "board_width_m": (0.59, "m", PRACTICE),
    "joist_centres_m": (0.4, "m", CHOICE),
    "fixing_least_mm": (50, "mm", PUBLISHED),  # a board maker's published guide
    "fixing_thicknesses": (2.5, "1", PUBLISHED),  # the same
    "trim_length_m": (3.0, "m", PRACTICE),
    "liquid_resin_g_per_ml": (1.13, "g/ml", PUBLISHED),  # a maker's data, +-0.02
    "liquid_topcoat_g_per_ml": (1.2, "g/ml", CHOICE),
    "adhesive_ml_per_overlap": (30, "ml", CHOICE),
    "resin_waste_pct": (5, "%", CHOICE),
    "catalyst_waste_pct": (10, "%", CHOICE),
    "mat_waste_pct": (5, "%", CHOICE),
    "bandage_waste_pct": (10, "%", CHOICE),
    "topcoat_waste_pct": (5, "%", CHOICE),
    "board_waste_pct": (5, "%", CHOICE),
    "batten_waste_pct": (10, "%", CHOICE),
    "fixing_waste_pct": (10, "%", CHOICE),
    "adhesive_waste_pct": (10, "%", CHOICE),
    "catalyst_active_oxygen_pct": (8.9, "%", PUBLISHED),  # a maker's data sheet: 8.8 to 9.0 %
    "catalyst_departure_pct": (5, "%", CHOICE),
    "crew_pace_m2_per_h": (12, "m2/h", CHOICE),
    "largest_mix_kg": (10, "kg", CHOICE),
    "weighing_step_kg": (0.1, "kg", CHOICE),
}
SIZES = {
    "resin_tins_kg": ((20, 10, 5), "kg"),
    "catalyst_bottles_ml": ((5000, 1000, 500, 250), "ml"),
    "mat_rolls_m": ((60, 30), "m"),
    "bandage_rolls_m": ((60, 20), "m"),
    "topcoat_tins_kg": ((20, 10, 5), "kg"),
    "fixing_boxes": ((1000, 500, 200), "1"),
    "adhesive_cartridges_ml": ((310,), "ml"),
}


@pytest.mark.parametrize(("name", "row"), FIGURES.items(), ids=FIGURES)
def test_planning_figure_is_that_of_the_table(name: str, row: tuple[float, str, Basis]) -> None:
    figure = getattr(PLANNING, name)
    assert isinstance(figure, Figure)
    assert (figure.value, figure.unit, figure.basis) == row


@pytest.mark.parametrize(("name", "row"), SIZES.items(), ids=SIZES)
def test_sizes_are_those_of_the_table(name: str, row: tuple[tuple[float, ...], str]) -> None:
    sizes = getattr(PLANNING, name)
    assert isinstance(sizes, Sizes)
    assert (sizes.values, sizes.unit, sizes.basis) == (*row, CHOICE)


def test_every_planning_figure_is_read_and_tested() -> None:
    fields = [field.name for field in dataclasses.fields(Planning)]
    assert fields == [*PLANNING_UNITS, *SIZE_UNITS]
    assert set(fields) == {*FIGURES, *SIZES}


@pytest.mark.parametrize("name", [*FIGURES, *SIZES])
def test_every_planning_source_is_one_honest_text(name: str) -> None:
    sourced = getattr(PLANNING, name)
    wanted = {
        PRACTICE: "Common practice of the trade; no published source",
        CHOICE: "Chosen",
        PUBLISHED: "published",
    }
    assert wanted[sourced.basis] in sourced.source
    assert sourced.source.endswith(".")
    assert not re.search(r"https?:|www\.|\.com|\.uk", sourced.source)


@pytest.mark.parametrize(
    ("old", "new", "place", "sentence"),
    [
        ("[planning.board_length_m]", "[planning.board_lenght_m]", "planning", "board_length_m is"),
        ("values = [310]", "values = []", "adhesive_cartridges_ml", "values is an empty list"),
        ("values = [310]", "values = [310, 0]", "adhesive_cartridges_ml", "not a number above 0"),
        ("values = [310]", "values = [true]", "adhesive_cartridges_ml", "not a number above 0"),
        ("values = [310]", "values = [310, 310]", "adhesive_cartridges_ml", "a number twice"),
        ("values = [310]", "values = 310", "adhesive_cartridges_ml", "write a list in [ ]"),
        ("values = [310]", "values = [1,2,3,4,5,6]", "adhesive_cartridges_ml", "name 5 or fewer"),
        (
            'values = [310]\nunit = "ml"',
            'values = [310]\nunit = "l"',
            "adhesive_cartridges_ml",
            'counts this in "ml"',
        ),
        ("value = 2.4\n", "value = 0\n", "board_length_m", "it must be more than 0"),
        ("value = 2.4\n", "value = -1\n", "board_length_m", "it must be more than 0"),
    ],
)
def test_broken_planning_is_refused_in_words(old: str, new: str, place: str, sentence: str) -> None:
    assert GOOD.count(old) == 1
    with pytest.raises(SpecificationError) as caught:
        parse_specification(GOOD.replace(old, new).encode(), file="our-firm.toml")
    assert any(
        place in problem.place and sentence in problem.sentence for problem in caught.value.problems
    )


def test_nothing_ordered_beyond_the_need_is_allowed() -> None:
    text = GOOD.replace(
        "[planning.resin_waste_pct]\nvalue = 5", "[planning.resin_waste_pct]\nvalue = 0"
    )
    loaded = parse_specification(text.encode(), file="our-firm.toml")
    assert loaded.planning.resin_waste_pct.value == 0

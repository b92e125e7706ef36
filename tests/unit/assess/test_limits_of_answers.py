"""Every limit of what people measure: on it, just inside, just outside; with its source."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import MEASURED, equipped, findings, only, sound_job

IN, OUT = Verdict.WITHIN, Verdict.OUTSIDE
COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A value with the verdict that its limit asks for."""

    check: str
    value: float
    verdict: Verdict
    source: str

    def __str__(self) -> str:
        return f"{self.check}={self.value:g}"


def at_most(check: str, limit: float, step: float, source: str) -> list[Case]:
    """On an upper limit, and one step of the instrument to either side."""
    return [
        Case(check=check, value=limit - step, verdict=IN, source=source),
        Case(check=check, value=limit, verdict=IN, source=source),
        Case(check=check, value=limit + step, verdict=OUT, source=source),
    ]


def at_least(check: str, limit: float, step: float, source: str) -> list[Case]:
    """On a lower limit, and one step of the instrument to either side."""
    return [
        Case(check=check, value=limit - step, verdict=OUT, source=source),
        Case(check=check, value=limit, verdict=IN, source=source),
        Case(check=check, value=limit + step, verdict=IN, source=source),
    ]


MEASURED_ON_AN_AREA = [
    *at_most("survey.joist_centres", 600, 1, COMMON),
    *at_least("survey.fall", 12.5, 0.1, "BS 6229: finished fall of 1:80, 12.5 mm per m"),
    *at_most("survey.back_fall", 0, 0.01, "BS 6229: none"),
    *at_least("deck.board_thickness", 18, 0.1, COMMON),
    *at_most("deck.moisture", 18, 0.1, "project choice: no UK figure for GRP"),
    *at_least("deck.expansion_gap", 20, 1, "25 mm common practice, no source; −5 project choice"),
    *at_most("deck.expansion_gap", 35, 1, "25 mm common practice, no source; +10 project choice"),
    *at_most("deck.fixing_centres", 200, 1, COMMON),
    *at_least("deck.fixings_across_board", 4, 1, COMMON),
    *at_least("deck.fixing_penetration", 40, 1, COMMON),
    *at_least("deck.offcut_length", 400, 1, COMMON),
    *at_least("deck.offcut_joists", 2, 1, COMMON),
    *at_most("trims.fixing_centres", 150, 1, COMMON),
    *at_least("trims.overlap", 50, 1, COMMON),
    *at_least("trims.adhesive_beads", 2, 1, COMMON),
    *at_least("bandage.corner_strip", 150, 1, COMMON),
    *at_least("laminate.crew", 2, 1, COMMON),
    *at_least("laminate.mat_overlap", 50, 1, COMMON),
    *at_most("laminate.first_mix_area", 2, 0.01, COMMON),
    *at_least("completion.dry_hours", 24, 0.1, COMMON),
    *at_least("completion.cured", 30, 1, "a published GRP specification: Barcol 30 or more"),
]
MEASURED_AT_AN_EDGE = [
    ("trims.battens", "eaves", 1, OUT),
    ("trims.battens", "eaves", 2, IN),
    ("trims.battens", "eaves", 3, OUT),
    ("trims.battens", "right", 0, OUT),
    ("trims.battens", "right", 1, IN),
    ("trims.battens", "right", 2, OUT),
    ("trims.batten_offset", "eaves", 6.9, OUT),
    ("trims.batten_offset", "eaves", 7, IN),
    ("trims.batten_offset", "eaves", 13, IN),
    ("trims.batten_offset", "eaves", 13.1, OUT),
]
"""Drip edge 2, raised edge 1; offset 10 mm, all common practice, no source; ±3 project choice."""
UNIT_OF = {
    "survey.back_fall": ("survey", "m2"),
    "bandage.corner_strip": ("bandage", "mm"),
    "completion.cured": ("completion", "Barcol"),
    "laminate.crew": ("laminate", "1"),
    "laminate.first_mix_area": ("laminate", "m2"),
} | {check: (stage, unit) for check, (stage, _, unit) in MEASURED.items()}


def measured(check: str, value: float, **place: str) -> RecordBuilder:
    """An equipped record with one measurement, and a mix for the checks that ask for one."""
    stage, unit = UNIT_OF.get(check, ("trims", "1" if check == "trims.battens" else "mm"))
    builder = equipped()
    if check == "laminate.first_mix_area":
        builder.add("mix")
    builder.add(
        "measurement", stage=stage, check=check, value=value, unit=unit, area="main", **place
    )
    return builder


@pytest.mark.parametrize("case", MEASURED_ON_AN_AREA, ids=str)
def test_value_on_its_limit_is_within(case: Case) -> None:
    found = only(measured(case.check, case.value), case.check)
    assert (found.value, found.verdict) == (case.value, case.verdict), case.source


@pytest.mark.parametrize(("check", "edge", "value", "verdict"), MEASURED_AT_AN_EDGE)
def test_edge_keeps_the_limit_of_its_kind(
    check: str, edge: str, value: float, verdict: Verdict
) -> None:
    found = only(measured(check, value, edge=edge), check, subject=edge)
    assert (found.value, found.verdict) == (value, verdict)


def test_edges_that_need_no_batten_are_not_asked() -> None:
    asked = findings(equipped(), "trims.battens")
    assert [found.subject for found in asked] == ["eaves", "right"]
    assert [found.subject for found in findings(equipped(), "trims.batten_offset")] == ["eaves"]


@pytest.mark.parametrize("check", sorted(MEASURED))
def test_silence_on_a_measurement_is_not_recorded(check: str) -> None:
    found = only(sound_job(without={check}), check)
    if check == "completion.dry_hours":
        assert "No reading after the last topcoat mix" in found.exact
    assert (found.verdict, found.value) == (Verdict.NOT_RECORDED, None)


@pytest.mark.parametrize("check", sorted(MEASURED))
def test_measurement_may_not_apply_with_a_reason(check: str) -> None:
    builder = sound_job(without={check})
    builder.add(
        "observation",
        stage=MEASURED[check][0],
        check=check,
        result="not_applicable",
        reason="There is none on this roof.",
        area="main",
    )
    found = only(builder, check)
    assert found.verdict is Verdict.NOT_APPLICABLE
    assert "There is none on this roof." in found.exact
    assert "There is none on this roof" in found.plain


def test_moisture_of_a_conditions_entry_is_judged() -> None:
    builder = equipped()
    builder.add("conditions", stage="deck", area="main", moisture_pct=18.1, deck_c=...)
    assert only(builder, "deck.moisture").verdict is OUT


def test_roller_loads_are_shown_and_not_judged() -> None:
    builder = equipped()
    builder.add(
        "measurement", stage="laminate", check="laminate.roller_loads", value=3, unit="1/m2"
    )
    found = only(builder, "laminate.roller_loads")
    assert (found.value, found.verdict) == (3, Verdict.NOT_APPLICABLE)
    assert findings(equipped(), "laminate.roller_loads") == ()

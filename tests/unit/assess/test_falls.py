"""`survey.fall` and `survey.back_fall` from levels, alone and beside what people measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from qa.assess.finding import Assessment
from qa.trade.conformity import DecisionRule, Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, assessed, equipped, findings, only, sound_job

Levels = Sequence[Sequence[float]]

FALL, BACK_FALL = "survey.fall", "survey.back_fall"
BOTH = (FALL, BACK_FALL)
GUARDED = replace(GENERAL, rule=DecisionRule.GUARDED)

# The area is 6 m by 4 m, its eaves at y = 0; 1:80 over 4 m is 50 mm.
EVEN: Levels = [[0, 0, 0], [6, 0, 0], [6, 4, 0.05], [0, 4, 0.05]]
SHALLOW: Levels = [[x, y, z * 0.999] for x, y, z in EVEN]
DENTED: Levels = [[0, 0, 0], [6, 0, 0], [6, 4, 0.1], [0, 4, 0.1], [3, 2, -0.01]]
SCRATCHED: Levels = [[0, 0, 0], [6, 0, 0], [6, 4, 0.1], [0, 4, 0.1], [3, 2, -0.001]]
VALLEY: Levels = [[x, y, abs(x - 3) * 0.025] for x in (0, 3, 6) for y in (0, 4)]
LOST_EAVES = [
    {"edge": "eaves", "kind": "drip_edge", "length_m": 6},
    {"edge": "wall", "kind": "wall_fillet", "length_m": 6},
    {"edge": "right", "kind": "raised_edge", "length_m": 4},
    {"edge": "left", "kind": "flashing", "length_m": 4},
]
"""Listed out of turn, so neither lengths nor order tell which side is the eaves."""


def surveyed(
    levels: Levels, *, measured: bool = False, guarded: bool = False, **area: Any
) -> Assessment:
    """The assessment of a sound job whose area has levels, and measurements of both checks."""
    builder = sound_job(without=() if measured else BOTH)
    give_levels(builder, levels, **area)
    return assessed(builder, GUARDED if guarded else GENERAL)


def give_levels(builder: RecordBuilder, levels: Levels, **area: Any) -> None:
    body = next(entry["body"] for entry in builder.entries if entry["kind"] == "area")
    body |= {"levels_m": levels} | area


def test_levels_answer_a_fall_that_nobody_measured() -> None:
    """1:80 exactly is enough: BS 6229, as quoted in the trade press."""
    found = only(surveyed(EVEN), FALL)
    assert found.value == pytest.approx(12.5)
    assert found.expanded_uncertainty == pytest.approx(0.0, abs=1e-9)
    assert (found.verdict, found.subject) == (Verdict.WITHIN, None)
    assert "falls towards 270° from +x, anticlockwise. 0 % of the surveyed area" in found.exact


def test_fall_just_below_the_limit_is_outside() -> None:
    found = only(surveyed(SHALLOW), FALL)
    assert found.verdict is Verdict.OUTSIDE
    assert "100 % of the surveyed area falls less than 12.5 mm per m" in found.exact


def test_scatter_becomes_the_uncertainty_of_the_fall() -> None:
    """Residuals of -1/2, 1/2 mm about a plane of four levels: u(fall) = s / sqrt(Syy).

    s² = 4 * 0.5² mm² / (4 - 3) = 1 mm², Syy = 4 * 2² m², so u = 0.25 mm/m; JCGM 100 H.3.
    """
    bent = [[0, 0, 0.0005], [6, 0, -0.0005], [6, 4, 0.1005], [0, 4, 0.0995]]
    found = only(surveyed(bent), FALL)
    assert found.expanded_uncertainty == pytest.approx(0.5)
    assert "25 mm per m ± 0.5 mm per m (k = 2)" in found.exact


def test_guarded_rule_uses_the_scatter() -> None:
    bent = [[0, 0, 0.0005], [6, 0, -0.0005], [6, 4, 0.0515], [0, 4, 0.0505]]
    found = only(surveyed(bent, guarded=True), FALL)
    assert found.value == pytest.approx(12.75)
    assert found.verdict is Verdict.UNDECIDED


def test_three_levels_give_a_fall_without_uncertainty() -> None:
    found = only(surveyed(EVEN[:3]), FALL)
    assert (found.verdict, found.expanded_uncertainty) == (Verdict.WITHIN, None)
    assert "Three levels leave no scatter" in found.exact
    assert "12 m² of the roof lie beyond the levels" in found.exact


def test_roof_that_falls_to_a_valley_is_undecided() -> None:
    found = only(surveyed(VALLEY), FALL)
    assert found.verdict is Verdict.UNDECIDED
    assert "Its pieces contradict the plane" in found.exact


@pytest.mark.parametrize("check", BOTH)
def test_measurement_stands_and_levels_stand_beside(check: str) -> None:
    measured, reckoned = findings(surveyed(DENTED, measured=True), check)
    assert (measured.subject, reckoned.subject) == (None, "levels")
    assert measured.verdict is Verdict.WITHIN
    assert len(reckoned.entries) == 1
    assert measured.entries != reckoned.entries


def test_job_without_levels_is_judged_as_before() -> None:
    for check in BOTH:
        assert only(sound_job(), check).subject is None
        silent = only(equipped(), check)
        assert (silent.verdict, silent.entries) == (Verdict.NOT_RECORDED, ())


def test_dent_that_cannot_drain_is_outside_and_measured() -> None:
    """Both lower triangles lean away from the eaves: 6 x 2 / 2 m², and side pieces do not."""
    found = only(surveyed(DENTED), BACK_FALL)
    assert found.verdict is Verdict.OUTSIDE
    assert found.value == pytest.approx(6.0)
    assert "Cannot drain: 10 mm deep at (3.00, 2.00) m" in found.exact


def test_fall_that_levels_can_feign_is_told_and_let_be() -> None:
    """1 mm over 2 m is less than what two levels known to 2 mm tell."""
    found = only(surveyed(SCRATCHED), BACK_FALL)
    assert (found.verdict, found.value) == (Verdict.WITHIN, 0.0)
    assert "Another 6 m² seem to drain away, by no more than levels known to ± 2 mm" in found.exact
    assert "Cannot drain: 1 mm deep" in found.exact


def test_guarded_rule_leaves_doubtful_back_fall_undecided() -> None:
    found = only(surveyed(SCRATCHED, guarded=True), BACK_FALL)
    assert found.verdict is Verdict.UNDECIDED
    assert "could not be decided" in found.plain
    assert only(surveyed(EVEN, guarded=True), BACK_FALL).verdict is Verdict.WITHIN


def test_roof_that_drains_says_so() -> None:
    found = only(surveyed(EVEN), BACK_FALL)
    assert (found.verdict, found.value) == (Verdict.WITHIN, 0.0)
    assert "From 4 levels. All water can run off." in found.exact


def test_without_a_way_out_back_fall_is_not_judged() -> None:
    found = only(surveyed(DENTED, edges=LOST_EAVES), BACK_FALL)
    assert found.verdict is Verdict.NOT_RECORDED
    assert "no outlet and no drip edge whose side is known" in found.exact
    assert "Which side the drip edge eaves is" in found.exact


def test_without_a_way_out_the_answer_stands_alone() -> None:
    found = only(surveyed(DENTED, measured=True, edges=LOST_EAVES), BACK_FALL)
    assert (found.verdict, found.subject) == (Verdict.WITHIN, None)
    assert "nothing is reckoned from them" in found.exact


def test_drip_edge_of_unknown_side_leaves_back_fall_undecided() -> None:
    found = only(surveyed(DENTED, edges=LOST_EAVES, outlets_m=[[0, 0]]), BACK_FALL)
    assert found.verdict is Verdict.UNDECIDED
    drained = only(surveyed(EVEN, edges=LOST_EAVES, outlets_m=[[0, 0]]), BACK_FALL)
    assert drained.verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    ("levels", "sentence"),
    [
        ([[0, 0, 0], [1, 1, 0]], "number of levels is 2; it must be 3 or more."),
        ([[0, 0, 0], [1, 1, 0], [2, 2, 0]], "one line"),
        ([[0, 0, 0], [6, 0, 0], [6, 4, 0], [0, 0, 1]], "place of level 4 is (0.000, 0.000) m"),
        ([[20, 0, 0], [26, 0, 0], [26, 4, 0]], "number of triangles on the roof is 0"),
    ],
)
def test_useless_levels_are_said_and_never_judged(levels: Levels, sentence: str) -> None:
    for check in BOTH:
        silent = only(surveyed(levels), check)
        assert silent.verdict is Verdict.NOT_RECORDED
        assert "The levels cannot be used: " in silent.exact
        assert sentence in silent.exact
        measured = only(surveyed(levels, measured=True), check)
        assert measured.verdict is Verdict.WITHIN
        assert sentence in measured.exact


def test_levels_of_one_area_say_nothing_of_another() -> None:
    builder = sound_job(without=BOTH)
    give_levels(builder, EVEN)
    builder.add("area", area="porch", name="Porch")
    by_area = {found.area: found for found in findings(assessed(builder), FALL)}
    assert by_area["main"].verdict is Verdict.WITHIN
    assert by_area["porch"].verdict is Verdict.NOT_RECORDED


def test_waived_back_fall_stays_beside_what_levels_say() -> None:
    builder = sound_job(without=(FALL,), observed={BACK_FALL: "not_applicable"})
    give_levels(builder, DENTED)
    waived, reckoned = findings(assessed(builder), BACK_FALL)
    assert waived.verdict is Verdict.NOT_APPLICABLE
    assert reckoned.verdict is Verdict.OUTSIDE


def test_stage_counts_what_levels_find() -> None:
    assert surveyed(DENTED, measured=True).stages[0].status == "outside"
    assert surveyed(EVEN, measured=True).stages[0].status == "within"

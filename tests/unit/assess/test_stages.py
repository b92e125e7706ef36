"""Sign-off, release, people laminating, and trim on the whole perimeter."""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.finding import Finding
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, assessed, equipped, findings, only

IN, OUT, SILENT = Verdict.WITHIN, Verdict.OUTSIDE, Verdict.NOT_RECORDED
SIGNED, RELEASED = "stage.signed_off", "stage.released"


def sign(builder: RecordBuilder, decision: str, **fields: Any) -> str:
    return builder.add("sign_off", decision=decision, statement="So it is.", **fields)


def deck(builder: RecordBuilder, check: str) -> Finding:
    return only(builder, check, stage="deck")


def is_released(builder: RecordBuilder) -> bool:
    (outcome,) = [o for o in assessed(builder).stages if o.stage is Stage.DECK]
    return outcome.released


@pytest.mark.parametrize("stage", list(Stage))
def test_stage_nobody_signed_is_not_recorded(stage: Stage) -> None:
    # ISO 9001:2015, clause 8.6.
    assert only(equipped(), SIGNED, stage=stage).verdict is SILENT
    holds = GENERAL.stage_rule(stage).hold_point
    assert len(findings(equipped(), RELEASED, stage=stage)) == holds


def test_hold_points_are_the_stages_that_get_covered() -> None:
    holds = [rule.stage for rule in GENERAL.stages if rule.hold_point]
    assert holds == [Stage.DECK, Stage.BANDAGE, Stage.LAMINATE, Stage.TOPCOAT]


def test_sign_off_after_the_last_work_is_within() -> None:
    builder = equipped()
    builder.add("measurement", at="08:00")
    sign(builder, "complete", at="08:00")
    assert deck(builder, SIGNED).verdict is IN


def test_sign_off_before_the_last_work_is_outside() -> None:
    builder = equipped()
    sign(builder, "complete", at="08:00")
    builder.add("measurement", at="08:01")
    found = deck(builder, SIGNED)
    assert found.verdict is OUT
    assert "Signed off on 12 May 2026, 08:00, but work was recorded on" in found.exact
    sign(builder, "complete", at="08:02")
    assert deck(builder, SIGNED).verdict is IN


def test_photo_after_the_sign_off_is_no_work() -> None:
    builder = equipped()
    sign(builder, "complete", at="08:00")
    builder.add("photo", at="08:01", stage="deck")
    assert deck(builder, SIGNED).verdict is IN


def test_cure_reading_after_the_sign_off_is_no_work() -> None:
    builder = equipped()
    sign(builder, "complete", stage="laminate", at="08:00")
    builder.add("conditions", stage="laminate", at="11:00", deck_c=15)
    assert only(builder, SIGNED, stage="laminate").verdict is IN


def test_reading_before_the_work_begins_no_stage() -> None:
    builder = equipped()
    builder.add("conditions", stage="bandage", at="08:00", deck_c=15)
    assert deck(builder, RELEASED).verdict is SILENT
    sign(builder, "released", at="08:10")
    assert deck(builder, RELEASED).verdict is IN


def test_sign_off_by_a_supervisor_does_not_count() -> None:
    builder = equipped()
    sign(builder, "complete", by="mara")
    found = deck(builder, SIGNED)
    assert found.verdict is SILENT
    assert "the installer signs off" in found.exact


def test_release_before_the_next_stage_is_within() -> None:
    builder = equipped()
    sign(builder, "released", at="08:00")
    builder.add("measurement", at="08:00", stage="trims", check="trims.overlap", unit="mm")
    assert deck(builder, RELEASED).verdict is IN
    assert is_released(builder)


def test_release_after_the_next_stage_began_is_outside() -> None:
    builder = equipped()
    began = builder.add("measurement", at="08:00", stage="trims", check="trims.overlap", unit="mm")
    sign(builder, "released", at="08:01")
    found = deck(builder, RELEASED)
    assert (found.verdict, found.entries) == (OUT, (began,))
    assert "and this one was released on 12 May 2026, 08:01" in found.exact
    assert is_released(builder)


def test_next_stage_without_any_release_is_outside() -> None:
    builder = equipped()
    builder.add("mix", at="08:00")
    assert "no supervisor has released this one" in deck(builder, RELEASED).exact
    assert deck(builder, RELEASED).verdict is OUT
    assert not is_released(builder)


def test_release_by_an_installer_does_not_count() -> None:
    builder = equipped()
    sign(builder, "released", by="ines")
    found = deck(builder, RELEASED)
    assert found.verdict is SILENT
    assert "A decision by ines does not count" in found.exact
    assert not is_released(builder)


def test_refused_stage_is_outside_until_released() -> None:
    builder = equipped()
    sign(builder, "refused", at="08:00")
    assert deck(builder, RELEASED).verdict is OUT
    assert not is_released(builder)
    sign(builder, "released", at="09:00")
    assert deck(builder, RELEASED).verdict is IN
    assert is_released(builder)


def test_release_that_was_taken_back_is_outside() -> None:
    builder = equipped()
    sign(builder, "released", at="08:00")
    sign(builder, "refused", at="09:00")
    assert deck(builder, RELEASED).verdict is OUT
    assert not is_released(builder)


def test_withdrawn_release_is_as_if_never_given() -> None:
    builder = equipped()
    release = sign(builder, "released")
    builder.add("correction", corrects=release, body=None)
    assert deck(builder, RELEASED).verdict is SILENT
    assert not is_released(builder)


def test_two_who_logged_laminating_are_two_people() -> None:
    builder = equipped()
    builder.add("mix", by="ines")
    assert only(builder, "laminate.crew").verdict is SILENT
    builder.add("examination", by="otto")
    found = only(builder, "laminate.crew")
    assert (found.value, found.verdict) == (2, IN)


def test_counted_people_go_before_the_log() -> None:
    builder = equipped()
    builder.add("mix", by="ines")
    builder.add("examination", by="otto")
    builder.add("measurement", stage="laminate", check="laminate.crew", value=1, unit="1")
    assert only(builder, "laminate.crew").verdict is OUT


EDGES = [
    {"edge": "eaves", "kind": "drip_edge", "length_m": 6},
    {"edge": "right", "kind": "raised_edge", "length_m": 4},
    {"edge": "wall", "kind": "wall_fillet", "length_m": 6},
    {"edge": "left", "kind": "flashing", "length_m": 4},
]
PERIMETER = {"stage": "trims", "check": "trims.perimeter_complete", "area": "main"}


@pytest.mark.parametrize(
    ("last_m", "verdict"),
    # Metres fitted not less than the perimeter: common practice, no source. Lengths are given to
    # the centimetre, so four edges may miss by 4 × 5 mm.
    [(3.97, OUT), (3.98, IN), (4, IN), (4.5, IN)],
)
def test_edges_add_up_to_the_perimeter(last_m: float, verdict: Verdict) -> None:
    builder = RecordBuilder.opened()
    builder.add("area", edges=[*EDGES[:3], EDGES[3] | {"length_m": last_m}])
    builder.add("observation", **PERIMETER, result="yes")
    assert only(builder, "trims.perimeter_complete").verdict is verdict


@pytest.mark.parametrize(("metres", "verdict"), [(19.97, OUT), (20, IN), (20.1, IN)])
def test_measured_metres_go_before_the_plan(metres: float, verdict: Verdict) -> None:
    builder = equipped()
    builder.add("measurement", **PERIMETER, value=metres, unit="m")
    found = only(builder, "trims.perimeter_complete")
    assert found.verdict is verdict
    assert "perimeter of the outline: 20 m" in found.exact


def test_metres_measured_again_are_not_added() -> None:
    builder = equipped()
    for metres in (12, 18):
        builder.add("measurement", **PERIMETER, value=metres, unit="m")
    assert only(builder, "trims.perimeter_complete").verdict is OUT


def test_gap_in_the_trim_is_put_right_by_a_second_look() -> None:
    builder = equipped()
    builder.add("observation", **PERIMETER, result="no")
    assert only(builder, "trims.perimeter_complete").is_open
    builder.add("observation", **PERIMETER, result="yes")
    found = findings(builder, "trims.perimeter_complete")
    assert sorted((f.verdict, f.put_right) for f in found) == [(OUT, True), (IN, False)]


def test_perimeter_may_not_apply_with_a_reason() -> None:
    builder = equipped()
    builder.add("observation", **PERIMETER, result="not_applicable", reason="Trims were kept.")
    assert only(builder, "trims.perimeter_complete").verdict is Verdict.NOT_APPLICABLE

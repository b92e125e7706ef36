"""Rain: stopped for, covered, looked at again before the restart (common practice, no source)."""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.finding import Finding
from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import equipped, only

RAIN = {"from_": "2026-05-12T10:00:00+01:00", "area": "main"}
OVER = RAIN | {"until": "2026-05-12T11:00:00+01:00"}


def wet_day(*mixes: str, rain: dict[str, Any] | None = None) -> RecordBuilder:
    builder = equipped()
    builder.add("conditions", at="08:50", area="main", rain=False)
    for clock in mixes:
        builder.add("mix", at=clock)
    if rain:
        builder.add("interruption", at="11:05", **rain)
    return builder


def dry(builder: RecordBuilder) -> Finding:
    return only(builder, "conditions.dry", stage="laminate")


def test_dry_readings_alone_are_within() -> None:
    assert dry(wet_day("09:00")).verdict is Verdict.WITHIN


def test_nothing_known_of_rain_is_not_recorded() -> None:
    builder = equipped()
    builder.add("mix", at="09:00")
    assert dry(builder).verdict is Verdict.NOT_RECORDED
    assert dry(equipped()).verdict is Verdict.NOT_RECORDED


def test_covered_rain_with_a_second_look_is_within() -> None:
    builder = wet_day("09:00", "11:30", rain=OVER)
    builder.add("conditions", at="11:10", area="main", rain=False)
    found = dry(builder)
    assert found.verdict is Verdict.WITHIN
    assert "looked at again before the restart" in found.exact


def test_answer_of_yes_counts_as_second_look() -> None:
    builder = wet_day("09:00", "11:30", rain=OVER)
    builder.add(
        "observation",
        at="11:10",
        stage="laminate",
        check="conditions.dry",
        result="yes",
        area="main",
    )
    assert dry(builder).verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    ("mixes", "rain", "said"),
    [
        (("09:00", "11:30"), OVER, "Nobody looked whether the area was dry"),
        (("09:00", "10:30"), OVER, "Mix mix-2 was made during the rain"),
        (("09:00", "12:00"), RAIN, "was never noted as over, and work went on"),
    ],
    ids=["no_second_look", "mix_during_rain", "rain_still_open"],
)
def test_rain_badly_answered_is_outside(
    mixes: tuple[str, ...], rain: dict[str, Any], said: str
) -> None:
    found = dry(wet_day(*mixes, rain=rain))
    assert found.verdict is Verdict.OUTSIDE
    assert said in found.exact


def test_open_rain_without_more_work_is_no_fault() -> None:
    assert dry(wet_day("09:00", rain=RAIN)).verdict is Verdict.WITHIN


def test_look_during_the_rain_is_no_second_look() -> None:
    builder = wet_day("09:00", "11:30", rain=OVER)
    builder.add("conditions", at="10:30", area="main", rain=False)
    assert dry(builder).verdict is Verdict.OUTSIDE


def test_bays_met_by_rain_are_examined_again() -> None:
    builder = wet_day("09:00", rain=OVER | {"bays": ["r1b1", "r1b2"]})
    builder.add("examination", at="09:30", bay="r1b1")
    builder.add("examination", at="12:00", bay="r1b2")
    found = dry(builder)
    assert found.verdict is Verdict.OUTSIDE
    assert "Rain met bays r1b1; they were not examined after it." in found.exact
    builder.add("examination", at="12:05", bay="r1b1")
    assert dry(builder).verdict is Verdict.WITHIN


def test_rain_reading_without_an_interruption_is_outside() -> None:
    builder = wet_day("09:00")
    reading = builder.add("conditions", at="10:00", area="main", rain=True)
    found = dry(builder)
    assert found.verdict is Verdict.OUTSIDE
    assert "no interruption with cover stands for it" in found.exact
    assert found.entries == (reading,)


def test_rain_reading_is_answered_by_its_interruption() -> None:
    builder = wet_day("09:00", rain=OVER)
    builder.add("conditions", at="10:05", area="main", rain=True)
    builder.add("conditions", at="09:50", area="main", rain=True)
    assert dry(builder).verdict is Verdict.WITHIN


def test_rain_reading_before_a_mix_and_its_interruption_is_outside() -> None:
    builder = wet_day("09:00", "09:30", rain=OVER)
    builder.add("conditions", at="09:20", area="main", rain=True)
    assert dry(builder).verdict is Verdict.OUTSIDE


def test_rain_before_the_start_needs_a_dry_look() -> None:
    builder = equipped()
    builder.add("conditions", at="08:00", area="main", rain=True)
    builder.add("mix", at="09:00")
    assert dry(builder).verdict is Verdict.OUTSIDE
    builder.add("conditions", at="08:50", area="main", rain=False)
    assert dry(builder).verdict is Verdict.WITHIN


def test_rain_of_another_area_is_no_fault_here() -> None:
    builder = wet_day("09:00")
    builder.add("area", area="porch", name="Porch")
    builder.add("conditions", at="10:00", area="porch", rain=True)
    assert only(builder, "conditions.dry", stage="laminate", area="main").verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    ("result", "verdict"),
    [
        ("yes", Verdict.WITHIN),
        ("no", Verdict.OUTSIDE),
        ("not_applicable", Verdict.NOT_APPLICABLE),
    ],
)
def test_answer_alone_is_judged(result: str, verdict: Verdict) -> None:
    builder = equipped()
    reason = "Laid under a tent." if result == "not_applicable" else ...
    builder.add(
        "observation",
        stage="laminate",
        check="conditions.dry",
        result=result,
        reason=reason,
        area="main",
    )
    assert dry(builder).verdict is verdict


def test_heat_is_no_rain() -> None:
    assert dry(wet_day("09:00", "10:30", rain=OVER | {"cause": "heat"})).verdict is Verdict.WITHIN


def test_rain_on_a_cured_stage_is_no_fault() -> None:
    builder = wet_day("09:00")
    builder.wait(hours=26)
    builder.add("conditions", area="main", rain=True)
    assert dry(builder).verdict is Verdict.WITHIN

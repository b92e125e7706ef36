"""What stands when something was measured twice, corrected or withdrawn."""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.finding import Finding
from qa.trade.conformity import Verdict
from tests.examples import minimal
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import equipped, findings, only

IN, OUT = Verdict.WITHIN, Verdict.OUTSIDE


def moisture(builder: RecordBuilder, value: float, **fields: Any) -> str:
    return builder.add("measurement", value=value, **({"area": "main"} | fields))


def told(builder: RecordBuilder) -> list[tuple[float | None, Verdict, bool]]:
    found = findings(builder, "deck.moisture")
    return sorted(((f.value, f.verdict, f.put_right) for f in found), key=lambda row: row[0] or 0)


@pytest.mark.parametrize("named", [True, False])
def test_fault_measured_again_is_put_right(named: bool) -> None:
    builder = equipped()
    wet = moisture(builder, 21)
    moisture(builder, 15, replaces=[wet] if named else ...)
    assert told(builder) == [(15, IN, False), (21, OUT, True)]


@pytest.mark.parametrize("named", [True, False])
def test_fault_that_is_still_there_stays_open(named: bool) -> None:
    builder = equipped()
    wet = moisture(builder, 21)
    moisture(builder, 19, replaces=[wet] if named else ...)
    assert told(builder) == [(19, OUT, False), (21, OUT, False)]


def test_good_reading_before_a_bad_one_saves_nothing() -> None:
    builder = equipped()
    moisture(builder, 15)
    moisture(builder, 21)
    assert told(builder) == [(21, OUT, False)]


def test_worst_of_the_good_readings_is_shown_with_all() -> None:
    builder = equipped()
    ids = [moisture(builder, value) for value in (12, 17, 14)]
    found = only(builder, "deck.moisture")
    assert found.value == 17
    assert set(found.entries) == set(ids)


def test_reading_of_another_place_puts_nothing_right() -> None:
    builder = equipped()
    builder.add("area", area="porch", name="Porch")
    moisture(builder, 21)
    moisture(builder, 15, area="porch")
    moisture(builder, 14, bay="r1b1")
    assert only(builder, "deck.moisture", area="main", bay=None).is_open


def test_good_reading_that_was_replaced_no_longer_counts() -> None:
    builder = equipped()
    first = moisture(builder, 12)
    moisture(builder, 16, replaces=[first])
    found = only(builder, "deck.moisture")
    assert (found.value, len(found.entries)) == (16, 1)


def test_answer_of_no_is_put_right_by_a_yes() -> None:
    builder = equipped()
    builder.add("observation", result="no", area="main")
    builder.add("observation", result="yes", area="main")
    found = findings(builder, "deck.dry")
    assert sorted((f.verdict, f.put_right) for f in found) == [(OUT, True), (IN, False)]


def one(builder: RecordBuilder) -> Finding:
    return only(builder, "deck.moisture")


def test_corrected_value_is_the_one_that_counts() -> None:
    builder = equipped()
    typed = moisture(builder, 145)
    body = minimal("measurement") | {"value": 14.5, "area": "main"}
    builder.add("correction", corrects=typed, body=body)
    assert (one(builder).value, one(builder).verdict) == (14.5, IN)


def test_withdrawn_reading_is_as_if_never_made() -> None:
    builder = equipped()
    typed = moisture(builder, 21)
    builder.add("correction", corrects=typed, body=None)
    assert (one(builder).verdict, one(builder).entries) == (Verdict.NOT_RECORDED, ())


def test_withdrawing_the_second_reading_reopens_the_fault() -> None:
    builder = equipped()
    wet = moisture(builder, 21)
    dry = moisture(builder, 15, replaces=[wet])
    builder.add("correction", corrects=dry, body=None)
    assert told(builder) == [(21, OUT, False)]


def test_edge_is_put_right_by_its_own_reading_only() -> None:
    builder = equipped()
    base = {"stage": "trims", "check": "trims.battens", "unit": "1", "area": "main"}
    builder.add("measurement", **base, value=1, edge="eaves")
    builder.add("measurement", **base, value=1, edge="right")
    assert only(builder, "trims.battens", subject="eaves").is_open
    builder.add("measurement", **base, value=2, edge="eaves")
    eaves = findings(builder, "trims.battens", subject="eaves")
    assert sorted((f.value, f.put_right) for f in eaves) == [(1, True), (2, False)]

"""The deck's temperature at the mix: the last look, its age, and whether it moves."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from qa.services.deck_looks import DeckLooks, age_text, deck_looks
from qa.specification.loader import built_in
from qa.trade.vocabulary import Stage
from tests.factories import FIRST_MORNING, RecordBuilder

HOLDS_H = 2.0
CHART = built_in("general-grp/1").resin_dose.chart


def _at(clock: str) -> datetime:
    hour, minute = map(int, clock.split(":"))
    return FIRST_MORNING.replace(hour=hour, minute=minute)


def _looks(builder: RecordBuilder, clock: str, area: str | None = "main") -> DeckLooks:
    return deck_looks(builder.job(), Stage.LAMINATE, area, now=_at(clock), holds_h=HOLDS_H)


def test_last_reading_comes_with_its_age() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", deck_c=13.0)
    assert _looks(builder, "09:05").sentence == "13.0 °C, 25 min ago"


@pytest.mark.parametrize(("clock", "serves"), [("10:39", True), ("10:40", True), ("10:41", False)])
def test_reading_serves_as_long_as_the_specification_says(clock: str, serves: bool) -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", deck_c=13.0)
    looks = _looks(builder, clock)
    assert (looks.in_force is not None) == serves
    assert ("too old" in looks.sentence) != serves


def test_readings_of_other_areas_are_passed_over() -> None:
    builder = RecordBuilder.equipped()
    builder.add("area", area="porch", name="Porch")
    builder.add("conditions", at="08:41", area="porch", deck_c=17.0)
    assert _looks(builder, "09:00").last is None
    assert _looks(builder, "09:00", "porch").last is not None


def test_fresh_reading_of_another_stage_serves_and_says_so() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", stage="bandage", deck_c=13.0)
    looks = _looks(builder, "09:00")
    assert looks.in_force is not None
    assert looks.sentence == "13.0 °C, 20 min ago, for the bandage"


def test_old_reading_of_another_stage_is_passed_over() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", stage="bandage", deck_c=13.0)
    assert _looks(builder, "10:41").last is None


def test_mix_that_was_read_anew_counts_as_a_look() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", deck_c=13.0)
    builder.add("mix", at="09:00", deck_c=13.0)
    builder.add("mix", at="09:20", deck_c=15.5)
    looks = _looks(builder, "09:30")
    assert looks.last is not None
    assert (looks.last.deck_c, looks.last.at) == (15.5, _at("09:20"))
    assert looks.before is not None
    assert looks.before.at == _at("08:40")


def test_mix_after_a_stale_reading_counts_as_a_look() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:00", deck_c=13.0)
    builder.add("mix", at="10:30", deck_c=13.0)
    assert _looks(builder, "10:40").in_force is not None


def test_deck_that_leaves_its_row_by_now_is_told() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:00", deck_c=12.0)
    builder.add("conditions", at="08:40", deck_c=12.8)
    assert "Read it again" in _looks(builder, "08:55").drift(CHART)


def test_deck_that_stays_in_its_row_is_not_told() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:00", deck_c=13.4)
    builder.add("conditions", at="08:40", deck_c=13.6)
    assert _looks(builder, "08:55").drift(CHART) == ""


def test_two_looks_within_minutes_tell_no_drift() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:00", deck_c=12.0)
    builder.add("conditions", at="08:04", deck_c=12.9)
    assert _looks(builder, "08:30").drift(CHART) == ""


def test_reading_dated_ahead_has_no_age() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions", at="08:40", deck_c=13.0)
    assert _looks(builder, "08:30").sentence == "13.0 °C, just now"


def test_age_is_told_in_whole_minutes_hours_and_days() -> None:
    assert age_text(timedelta(seconds=59)) == "just now"
    assert age_text(timedelta(minutes=1)) == "1 min ago"
    assert age_text(timedelta(hours=2)) == "2 h ago"
    assert age_text(timedelta(days=2)) == "2 days ago"

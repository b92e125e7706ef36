"""Weather and deck: every limit, the reading in force at a mix, and the longest gap."""

from __future__ import annotations

from typing import Any

import pytest

from qa.trade.conformity import Verdict
from qa.trade.vocabulary import WET_STAGES
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import equipped, only

IN, OUT, SILENT = Verdict.WITHIN, Verdict.OUTSIDE, Verdict.NOT_RECORDED
AIR_AND_DECK = {"air_c": 14, "humidity_pct": 60, "deck_c": 14}
DECK = "conditions.deck_temperature"
AIR = "conditions.air_temperature"
MARGIN = "conditions.dew_margin"
HUMIDITY = "conditions.humidity"
INTERVAL = "conditions.interval"


def with_reading(**values: Any) -> RecordBuilder:
    builder = equipped()
    builder.add("conditions", at="08:40", area="main", **({"deck_c": ...} | values))
    return builder


@pytest.mark.parametrize(
    ("field", "check", "value", "verdict"),
    [
        # 5 to 35 °C: a supplier's published dose chart, medium-reactivity MEKP.
        ("deck_c", DECK, 4.9, OUT),
        ("deck_c", DECK, 5, IN),
        ("deck_c", DECK, 5.1, IN),
        ("deck_c", DECK, 34.9, IN),
        ("deck_c", DECK, 35, IN),
        ("deck_c", DECK, 35.1, OUT),
        ("air_c", AIR, 4.9, OUT),
        ("air_c", AIR, 5, IN),
        ("air_c", AIR, 35, IN),
        ("air_c", AIR, 35.1, OUT),
        # 85 %: published coating practice that cites ISO 8502-4.
        ("humidity_pct", HUMIDITY, 84.9, IN),
        ("humidity_pct", HUMIDITY, 85, IN),
        ("humidity_pct", HUMIDITY, 85.1, OUT),
    ],
)
def test_reading_is_judged_on_its_own(
    field: str, check: str, value: float, verdict: Verdict
) -> None:
    builder = with_reading(**{field: value})
    found = only(builder, check, area="main")
    assert (found.value, found.verdict) == (value, verdict)
    assert found.subject == builder.entries[-1]["id"]


@pytest.mark.parametrize(
    ("air_c", "humidity_pct", "deck_c", "margin_k", "verdict"),
    [
        # The 3 K rule, ISO 8502-4 practice adopted for a deck; margins reproduced with psychrolib.
        (12, 70, 9.0, 2.30, OUT),
        (12, 70, 9.9, 3.20, IN),
        (10, 80, 9.5, 2.79, OUT),
        (10, 85, 10.0, 2.40, OUT),
        (5, 82, 5.0, 2.81, OUT),
        (18, 60, 13.2, 3.07, IN),
        (18, 60, 13.1, 2.97, OUT),
        (20, 65, 16.3, 3.07, IN),
        (20, 65, 16.2, 2.97, OUT),
        (25, 85, 25.4, 3.10, IN),
    ],
)
def test_dew_margin_keeps_the_three_kelvin_rule(
    air_c: float, humidity_pct: float, deck_c: float, margin_k: float, verdict: Verdict
) -> None:
    builder = with_reading(air_c=air_c, humidity_pct=humidity_pct, deck_c=deck_c)
    found = only(builder, MARGIN, stage="laminate")
    # WMO-No. 8 Magnus against psychrolib agrees to 0.04 K for dew points above 0 °C.
    assert found.value == pytest.approx(margin_k, abs=0.045)
    assert found.verdict is verdict
    assert "Dew point" in found.exact


def test_dew_margin_on_its_limit_is_within() -> None:
    # At 100 % the dew point is the air's temperature, whatever the formula.
    builder = with_reading(air_c=10, humidity_pct=100, deck_c=13)
    assert only(builder, MARGIN, stage="laminate").verdict is IN
    builder = with_reading(air_c=10, humidity_pct=100, deck_c=12.999)
    assert only(builder, MARGIN, stage="laminate").verdict is OUT


@pytest.mark.parametrize("missing", ["air_c", "humidity_pct", "deck_c"])
def test_partial_reading_has_no_dew_margin(missing: str) -> None:
    builder = with_reading(**(AIR_AND_DECK | {missing: ...}))
    assert only(builder, MARGIN, stage="laminate").verdict is SILENT
    for check, field in {DECK: "deck_c", AIR: "air_c", HUMIDITY: "humidity_pct"}.items():
        verdict = only(builder, check, stage="laminate").verdict
        assert verdict is (SILENT if field == missing else IN)


def test_air_too_cold_for_the_dew_formula_is_said() -> None:
    builder = with_reading(air_c=-30, humidity_pct=60, deck_c=-20)
    found = only(builder, MARGIN, stage="laminate")
    assert found.verdict is SILENT
    assert "cannot be reckoned" in found.exact


@pytest.mark.parametrize("stage", WET_STAGES)
@pytest.mark.parametrize("check", [DECK, AIR, MARGIN, HUMIDITY, INTERVAL])
def test_wet_stage_without_a_reading_is_not_recorded(stage: str, check: str) -> None:
    assert only(equipped(), check, stage=stage).verdict is SILENT


@pytest.mark.parametrize(
    ("read_at", "area", "holds"),
    [("06:50", "main", True), ("06:49", "main", False), ("08:50", "main", True)],
)
def test_mix_takes_the_air_of_a_reading_for_two_hours(read_at: str, area: str, holds: bool) -> None:
    builder = equipped()
    reading = builder.add("conditions", at=read_at, area=area, **AIR_AND_DECK)
    mix = builder.add("mix", at="08:50", deck_c=13)
    found = only(builder, MARGIN, subject="mix-1")
    assert found.entries == ((mix, reading) if holds else (mix,))
    assert found.verdict is (IN if holds else SILENT)
    if not holds:
        assert "No reading of air and humidity within 2 h before the mix." in found.exact


def test_mix_is_judged_by_its_own_deck_temperature() -> None:
    builder = equipped()
    builder.add("conditions", at="08:40", area="main", air_c=12, humidity_pct=70, deck_c=9.9)
    builder.add("mix", at="08:50", deck_c=9.0)
    assert only(builder, MARGIN, subject="mix-1").verdict is OUT
    assert only(builder, DECK, subject="mix-1").value == 9.0


def test_mix_is_judged_by_its_own_air_where_it_has_any() -> None:
    builder = equipped()
    builder.add("conditions", at="08:40", area="main", **AIR_AND_DECK)
    builder.add("mix", at="08:50", air_c=36)
    assert only(builder, AIR, subject="mix-1").verdict is OUT
    alone = equipped()
    alone.add("mix", at="08:50", air_c=14)
    assert only(alone, AIR, subject="mix-1").verdict is IN
    assert only(alone, HUMIDITY, subject="mix-1").verdict is SILENT


def test_reading_of_another_area_tells_nothing_of_a_mix() -> None:
    builder = equipped()
    builder.add("area", area="porch", name="Porch")
    builder.add("conditions", at="08:40", area="porch", **AIR_AND_DECK)
    builder.add("mix", at="08:50")
    assert only(builder, MARGIN, subject="mix-1").verdict is SILENT
    builder.add("conditions", at="08:45", **AIR_AND_DECK)
    assert only(builder, MARGIN, subject="mix-1").verdict is IN


def test_reading_after_the_mix_does_not_excuse_it() -> None:
    builder = equipped()
    builder.add("mix", at="08:50")
    builder.add("conditions", at="08:51", area="main", **AIR_AND_DECK)
    assert only(builder, MARGIN, subject="mix-1").verdict is SILENT


def day(*, readings: list[str], mixes: list[str], emptied: str) -> RecordBuilder:
    builder = equipped()
    for clock in readings:
        builder.add("conditions", at=clock, area="main", **AIR_AND_DECK)
    for clock in mixes:
        builder.add("mix", at=clock, emptied_at=f"2026-05-12T{emptied}:00+01:00")
    return builder


@pytest.mark.parametrize(
    ("readings", "emptied", "hours", "verdict"),
    [
        # 2 h: project choice.
        (["08:00"], "09:59", 119 / 60, IN),
        (["08:00"], "10:00", 2, IN),
        (["08:00"], "10:01", 121 / 60, OUT),
        (["08:00", "09:30"], "11:29", 119 / 60, IN),
        (["07:00", "09:01"], "09:30", 121 / 60, OUT),
        (["08:00", "12:30"], "12:00", 4, OUT),
    ],
)
def test_longest_gap_lasts_until_the_last_mix_is_emptied(
    readings: list[str], emptied: str, hours: float, verdict: Verdict
) -> None:
    found = only(
        day(readings=readings, mixes=["08:00"], emptied=emptied),
        INTERVAL,
        area="main",
        stage="laminate",
    )
    assert found.value == pytest.approx(hours)
    assert found.verdict is verdict


def test_gap_starts_with_the_work_where_no_reading_opens_it() -> None:
    builder = day(readings=["11:00"], mixes=["08:00"], emptied="11:30")
    found = only(builder, INTERVAL, stage="laminate")
    assert (found.value, found.verdict) == (3, OUT)
    assert "12 May 2026, 08:00" in found.exact


def test_interruption_is_no_gap() -> None:
    builder = day(readings=["08:00", "12:00"], mixes=["08:00"], emptied="12:30")
    assert only(builder, INTERVAL, stage="laminate").verdict is OUT
    pause = {"cause": "heat", "from_": "2026-05-12T09:00:00+01:00"}
    builder.add("interruption", until="2026-05-12T11:00:00+01:00", **pause)
    found = only(builder, INTERVAL, stage="laminate")
    assert (found.value, found.verdict) == (2, IN)


def test_interruptions_that_overlap_count_once() -> None:
    builder = day(readings=["08:00", "13:00"], mixes=["08:00"], emptied="13:30")
    for cause in ("rain", "wind"):
        builder.add(
            "interruption",
            cause=cause,
            from_="2026-05-12T09:00:00+01:00",
            until="2026-05-12T11:00:00+01:00",
        )
    assert only(builder, INTERVAL, stage="laminate").value == 3


def test_night_between_two_days_is_no_gap() -> None:
    builder = day(readings=["08:00"], mixes=["08:00"], emptied="09:00")
    builder.wait(days=1)
    builder.add("conditions", at="08:00", area="main", **AIR_AND_DECK)
    builder.add("mix", at="08:10", emptied_at="2026-05-13T08:30:00+01:00")
    assert only(builder, INTERVAL, stage="laminate").value == 1


def test_gap_is_told_in_the_time_of_the_site() -> None:
    builder = equipped()
    # 25 October 2026: clocks in Europe/London go back from 02:00 to 01:00 (IANA time zones).
    builder.add("conditions", at="2026-10-25T00:30:00+01:00", area="main", **AIR_AND_DECK)
    emptied = "2026-10-25T02:00:00+00:00"
    builder.add("mix", at="2026-10-25T00:30:00+01:00", emptied_at=emptied)
    found = only(builder, INTERVAL, stage="laminate")
    assert (found.value, found.verdict) == (2.5, OUT)
    assert "25 October 2026, 00:30" in found.exact


def test_finding_of_a_gap_rests_on_what_bounds_it() -> None:
    builder = day(readings=["08:00", "09:00", "11:30"], mixes=["08:00"], emptied="12:00")
    found = only(builder, INTERVAL, stage="laminate")
    reading_ids = [e["id"] for e in builder.entries if e["kind"] == "conditions"]
    assert found.entries == tuple(reading_ids[1:])


def test_mixing_without_any_reading_has_no_interval() -> None:
    builder = day(readings=[], mixes=["08:00"], emptied="12:00")
    assert only(builder, INTERVAL, stage="laminate").verdict is SILENT


@pytest.mark.parametrize(
    ("emptied", "verdict"), [("08:20", SILENT), ("10:00", SILENT), ("10:01", OUT)]
)
def test_short_work_without_a_reading_is_no_pass(emptied: str, verdict: Verdict) -> None:
    # 2 h: project choice. A reading of the evening tells nothing of the morning's work.
    builder = day(readings=["17:00"], mixes=["08:00"], emptied=emptied)
    assert only(builder, INTERVAL, stage="laminate").verdict is verdict


def test_second_day_without_a_reading_is_no_pass() -> None:
    builder = day(readings=["08:00"], mixes=["08:00"], emptied="09:00")
    builder.wait(days=1)
    builder.add("mix", at="08:10", emptied_at="2026-05-13T08:30:00+01:00")
    found = only(builder, INTERVAL, stage="laminate")
    assert (found.value, found.verdict) == (None, SILENT)
    assert "No reading stands for the work of 13 May 2026" in found.exact

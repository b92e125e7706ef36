"""What stands beside a field: limits with basis and source, cautions, times, days."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from qa.services.loading import named_specification
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.roof.cautions import DUST, HEIGHT, SOLVENT, STRUCTURE, caution_of
from qa.web.roof.day_field import DayField
from qa.web.roof.lot_form import free_key
from qa.web.roof.wording import limit_text

_, GENERAL = named_specification("general-grp/1")
LONDON = ZoneInfo("Europe/London")
TODAY = date(2026, 5, 12)


@pytest.mark.parametrize(
    ("check", "begins"),
    [
        ("deck.moisture", "At most 18 %. Project choice: Chosen by the authors"),
        ("deck.board_thickness", "At least 18 mm. Common practice of the trade"),
        ("deck.expansion_gap", "Between 20 and 35 mm. Project choice: A gap of 25 mm"),
        ("deck.dry", "Common practice of the trade; no published source."),
        ("survey.back_fall", "None at all. Published: BS 6229:2018"),
    ],
)
def test_limit_brings_basis_and_source(check: str, begins: str) -> None:
    asked = GENERAL.checks[check]
    assert limit_text(asked.limits, asked.unit, asked).startswith(begins)


@pytest.mark.parametrize(
    ("check", "words"),
    [
        ("topcoat.sanded", DUST),
        ("topcoat.wiped", SOLVENT),
        ("trims.fixing_centres", HEIGHT),
        ("survey.joists_sound", STRUCTURE),
        ("survey.ventilation", STRUCTURE),
    ],
)
def test_caution_stands_where_the_hand_is(check: str, words: str) -> None:
    assert caution_of(check).startswith(words)
    assert caution_of(check).endswith("local rules come first.")


def test_no_caution_where_nothing_hurts() -> None:
    assert caution_of("completion.site_clean") == ""


def test_every_stage_with_a_hazard_warns_somewhere() -> None:
    warned = {key.partition(".")[0] for key in GENERAL.checks if caution_of(key)}
    assert warned == {stage.value for stage in Stage}


@pytest.mark.parametrize(
    ("at", "text"),
    [
        (datetime(2026, 5, 12, 9, 42, tzinfo=UTC), "10:42"),
        (datetime(2026, 5, 11, 23, 30, tzinfo=UTC), "00:30"),
        (datetime(2026, 5, 11, 9, 0, tzinfo=UTC), "11 May, 10:00"),
        (datetime(2025, 12, 1, 9, 0, tzinfo=UTC), "1 December 2025, 09:00"),
    ],
)
def test_time_is_told_on_the_sites_clock(at: datetime, text: str) -> None:
    assert time_text(at, LONDON, TODAY) == text


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2027-06-30", "2027-06-30"),
        ("30/6/2027", "2027-06-30"),
        ("1.2.27", "2027-02-01"),
        ("29-02-2028", "2028-02-29"),
    ],
)
def test_day_is_read_as_people_write_it(typed: str, day: str) -> None:
    assert DayField.read(DayField.__new__(DayField), typed) == day


@pytest.mark.parametrize("typed", ["29/2/2027", "6/30/2027", "June", "1/1/27000", "0/0/0"])
def test_day_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(ValueError, match="no day"):
        DayField.read(DayField.__new__(DayField), typed)


def test_thing_is_called_by_its_own_name_and_numbered_where_that_is_taken() -> None:
    assert free_key("R 1204", []) == "R 1204"
    assert free_key(" R  1204 ", ["R 1204"]) == "R 1204 (2)"
    assert free_key("R 1204", ["R 1204", "R 1204 (2)"]) == "R 1204 (3)"
    assert free_key(None, []) == "unnamed"

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from qa.errors import DomainError
from qa.packs.drawing import InterruptionSpan, MixTick, Reading, draw_conditions_chart
from qa.packs.drawing.readings import unbroken_runs
from tests.unit.packs.drawing.reading_svg import title_of, words_of
from tests.unit.packs.drawing.samples import CONDITIONS, at, conditions, reading


def words(chart) -> list[str]:
    return [word for drawing in draw_conditions_chart(chart) for word in words_of(drawing)]


def test_each_day_of_wet_work_has_its_panel() -> None:
    assert {"Tuesday 12 May 2026", "Wednesday 13 May 2026"} <= set(words(CONDITIONS))


def test_lines_limit_and_interruption_are_named_directly() -> None:
    assert {"deck", "air", "dew point", "least 3 K", "rain, covered"} <= set(words(CONDITIONS))


def test_days_begin_in_the_jobs_own_zone() -> None:
    late = reading(datetime(2026, 5, 12, 23, 30, tzinfo=ZoneInfo("UTC")), 12.0, 12.0, 6.0)
    assert "Wednesday 13 May 2026" in words(conditions(readings=(late,)))


def test_a_margin_below_its_limit_is_written() -> None:
    low = reading(at(12, 9), 10.0, 11.0, 7.5)
    on_limit = reading(at(12, 10), 10.0, 11.0, 7.0)
    found = words(conditions(readings=(low, on_limit)))
    assert "2.5" in found
    assert "3.0" not in found


def test_lines_break_over_gaps_longer_than_accepted() -> None:
    values = [(at(12, 8), 1.0), (at(12, 10), 2.0), (at(12, 12, 1), 3.0)]
    assert [len(run) for run in unbroken_runs(values, 2.0)] == [2, 1]


def test_two_days_share_a_drawing_and_three_need_two() -> None:
    three = tuple(reading(at(day, 9), 12.0, 12.0, 6.0) for day in (12, 13, 14))
    assert len(draw_conditions_chart(conditions(readings=three[:2]))) == 1
    assert len(draw_conditions_chart(conditions(readings=three))) == 2


def test_one_reading_alone_is_drawn() -> None:
    found = words(conditions(readings=(reading(at(12, 9), 12.0, 12.0, 6.0),)))
    assert {"deck", "air", "dew point"} <= set(found)


def test_readings_without_values_are_drawn_without_lines() -> None:
    found = words(conditions(readings=(Reading(at=at(12, 9)),)))
    assert "Tuesday 12 May 2026" in found
    assert "deck" not in found


def test_mixes_without_readings_say_that_none_is_recorded() -> None:
    found = words(conditions(mixes=(MixTick(at=at(12, 9), key="mix-1"),)))
    assert "No reading is recorded on this day." in found


def test_nothing_at_all_gives_a_sentence() -> None:
    assert words(conditions()) == ["No reading of the conditions and no mix is recorded."]


def test_sixty_mixes_are_ticked_and_named_as_far_as_room() -> None:
    mixes = tuple(MixTick(at=at(12, 8) + timedelta(minutes=n), key=f"mix-{n}") for n in range(60))
    named = [word for word in words(conditions(mixes=mixes)) if word.isdigit()]
    assert 0 < len(named) < 80


def test_an_open_interruption_says_its_end_is_not_recorded() -> None:
    span = InterruptionSpan(start=at(12, 10), end=None, label="wind")
    found = words(conditions(readings=CONDITIONS.readings[:3], interruptions=(span,)))
    assert "wind, end not recorded" in found


def test_an_interruption_over_night_shows_on_both_days() -> None:
    span = InterruptionSpan(start=at(12, 20), end=at(13, 7), label="rain, covered")
    found = words(conditions(readings=CONDITIONS.readings, interruptions=(span,)))
    assert found.count("rain, covered") == 2


def test_title_tells_the_least_margin_and_the_stops() -> None:
    title = title_of(draw_conditions_chart(CONDITIONS)[0])
    assert "least dew margin 2.6 K" in title
    assert "interrupted: rain, covered" in title


def test_times_without_an_offset_are_refused() -> None:
    with pytest.raises(DomainError, match="time of a reading"):
        Reading(at=datetime(2026, 5, 12, 8, 40), deck_c=12.0)  # noqa: DTZ001
    with pytest.raises(DomainError, match="end of an interruption"):
        InterruptionSpan(start=at(12, 8), end=datetime(2026, 5, 12), label="rain")  # noqa: DTZ001

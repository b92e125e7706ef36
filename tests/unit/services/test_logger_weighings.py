"""What a scale read is matched to the mixes and uses that are nearest in time."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest

from qa.assess.frame import frame_of
from qa.services.logger_csv import LoggerReading, first_lines, readings
from qa.services.logger_layout import (
    CsvLayout,
    MassUnit,
    find_layout,
    find_separator,
    headed,
    kept_layout,
)
from qa.services.logger_weighings import Weighings, weighings_of
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL

WITHIN = timedelta(minutes=5)


@pytest.fixture
def weighings() -> Weighings:
    """Two mixes of 5 kg twenty minutes apart, and 8 kg of resin that were used."""
    builder = RecordBuilder.equipped()
    builder.add("mix", at="09:00", mix="mix-1", kg=5.0)
    builder.add("mix", at="09:20", mix="mix-2", kg=5.0)
    builder.add("usage", at="11:00", lot="resin-1", used=8.0, unit="kg")
    builder.add("usage", at="11:30", lot="mat-1", used=12.0, unit="m2")
    return weighings_of(frame_of(builder.job(), GENERAL), within=WITHIN)


def give(weighings: Weighings, *masses: tuple[float, float]) -> None:
    """Takes weighings, each so many minutes after the first mix."""
    first = weighings.of[0].entry.at
    for row, (minutes, mass_kg) in enumerate(masses, start=2):
        at = first + timedelta(minutes=minutes)
        weighings.take(LoggerReading(row, at, None, None, None, mass_kg))


def test_nearest_weighing_belongs_to_the_mix(weighings: Weighings) -> None:
    give(weighings, (-4, 4.0), (-1, 5.2), (2, 5.4), (19, 6.1), (119, 8.02))
    assert [(one.name, one.mass_kg) for one in weighings.found] == [
        ("mix-1", 5.2), ("mix-2", 6.1), ("use of resin-1", 8.02),
    ]  # fmt: skip
    assert (weighings.masses, weighings.matched) == (5, 5)


@pytest.mark.parametrize(("minutes", "is_matched"), [(5, True), (5.1, False), (-5, True)])
def test_weighing_beyond_what_is_near_belongs_to_nothing(
    weighings: Weighings, minutes: float, *, is_matched: bool
) -> None:
    give(weighings, (minutes, 5.0))
    assert bool(weighings.found) is is_matched
    assert weighings.masses == 1


def test_empty_scale_and_its_tare_are_no_weighing(weighings: Weighings) -> None:
    give(weighings, (0, 0.0), (1, -0.3))
    assert (weighings.found, weighings.masses) == ((), 0)


def test_mass_differs_only_beyond_what_is_known_of_it(weighings: Weighings) -> None:
    known = weighings.of[0].known_kg
    give(weighings, (0, 5.0 + known), (20, 5.0 + 1.1 * known + 0.001))
    one, other = weighings.found
    assert (one.differs, other.differs) == (False, True)


@pytest.mark.parametrize(
    ("heading", "separator", "cell", "mass_kg"),
    [
        ("Weight (kg)", ";", "5,012", 5.012),
        ("Net weight [g]", ";", "5012", 5.012),
        ("Mass kg", ",", "5.012", 5.012),
        ("Gross, grams", "\t", "5012.0", 5.012),
    ],
)
def test_column_of_a_scale_is_found_with_its_unit(
    heading: str, separator: str, cell: str, mass_kg: float
) -> None:
    raw = f"Time{separator}{heading}\n2026-05-12 09:00:00{separator}{cell}\n".encode()
    lines, encoding = first_lines(raw)
    layout = find_layout(lines, find_separator(lines), clock="UTC")
    (found,) = readings(
        io.BytesIO(raw), layout, encoding=encoding, after=headed(lines, separator).line
    )
    assert isinstance(found, LoggerReading)
    assert found.mass_kg == pytest.approx(mass_kg)
    assert not found.is_of_air
    assert kept_layout(layout.text) == layout


def test_layout_that_was_kept_before_scales_still_reads() -> None:
    text = (
        '{"air_c":1,"clock":"UTC","clock_time":null,"decimal":",","deck_c":null,'
        '"humidity_pct":2,"order":"day","separator":";","time":0}'
    )
    layout = kept_layout(text)
    assert isinstance(layout, CsvLayout)
    assert (layout.mass, layout.mass_unit) == (None, MassUnit.KG)

"""What instruments measure, from the words that register them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.assess.instruments import Instruments, Quantity, quantities_measured
from qa.record.kinds.supplies import Instrument

AIR, DECK, HUMIDITY = Quantity.AIR_TEMPERATURE, Quantity.DECK_TEMPERATURE, Quantity.HUMIDITY


def instrument(key: str, measures: str, uncertainty: float | None) -> Instrument:
    return Instrument(instrument=key, name=key, measures=measures, expanded_uncertainty=uncertainty)


@pytest.mark.parametrize(
    ("measures", "quantities"),
    [
        ("deck temperature", {DECK: 1}),
        ("Deck temperature, °C", {DECK: 1}),
        ("temperature of the surface", {DECK: 1}),
        ("air temperature", {AIR: 1}),
        ("ambient temperature in °F", {AIR: 5 / 9}),
        ("temperature", {AIR: 1, DECK: 1}),
        ("air and deck temperature", {AIR: 1, DECK: 1}),
        ("air temperature, °C, and relative humidity, %", {AIR: 1, HUMIDITY: 1}),
        ("air temperature, humidity and dew point temperature", {AIR: 1, HUMIDITY: 1}),
        ("RH", {HUMIDITY: 1}),
        ("dew point", {}),
        ("moisture content of wood, %", {Quantity.MOISTURE: 1}),
        ("mass", {Quantity.MASS: 1}),
        ("mass, kg", {Quantity.MASS: 1}),
        ("weight in g", {Quantity.MASS: 0.001}),
        ("volume of catalyst, ml", {Quantity.VOLUME: 1}),
        ("volume, l", {Quantity.VOLUME: 1000}),
        ("length", {Quantity.LENGTH: 1}),
        ("length, mm", {Quantity.LENGTH: 1}),
        ("distance, m", {Quantity.LENGTH: 1000}),
        ("wet film thickness, µm", {Quantity.THICKNESS: 0.001}),
        ("fall, mm per m", {Quantity.FALL: 1}),
        ("slope, %", {Quantity.FALL: 10}),
        ("Barcol hardness", {Quantity.HARDNESS: 1}),
        ("time, s", {Quantity.TIME: 1 / 3600}),
        ("wind speed", {}),
        ("everything that matters", {}),
        ("temperament of the crew", {}),
    ],
)
def test_words_name_quantities_and_units(measures: str, quantities: dict[Quantity, float]) -> None:
    assert dict(quantities_measured(measures)) == pytest.approx(quantities)


@given(st.text(max_size=40))
def test_any_words_can_be_read(measures: str) -> None:
    assert all(factor > 0 for factor in quantities_measured(measures).values())


def test_widest_of_several_is_taken() -> None:
    known = Instruments(
        (instrument("old", "deck temperature", 1.0), instrument("new", "deck temperature", 0.5))
    )
    widest = known.widest(DECK)
    assert widest is not None
    assert (widest.uncertainty, widest.instrument) == (1.0, "old")
    only_new = known.widest(DECK, ("new",))
    assert only_new is not None
    assert only_new.uncertainty == 0.5


def test_silent_instrument_may_be_the_one_that_was_read() -> None:
    known = Instruments(
        (instrument("old", "deck temperature", None), instrument("new", "deck temperature", 0.5))
    )
    assert known.widest(DECK) is None
    assert known.widest(DECK, ("new",)) is not None
    assert known.widest(AIR) is None


@pytest.mark.parametrize(
    ("measures", "stated", "unit", "expected"),
    [
        ("length, m", 0.002, "mm", 2.0),
        ("length, mm", 1.0, "m", 0.001),
        ("length, mm", 1.0, "mm", 1.0),
        ("moisture content", 1.2, "%", 1.2),
        ("thickness, mm", 0.1, "mm", 0.1),
        ("time, s", 60.0, "min", 1.0),
        ("Barcol hardness", 2.0, "Barcol", 2.0),
        ("length, mm", 1.0, "mm/m", None),
        ("length, mm", 1.0, "m2", None),
        ("length, mm", None, "mm", None),
        ("the weather", 1.0, "mm", None),
    ],
)
def test_uncertainty_counts_in_the_unit_of_the_limit(
    measures: str, stated: float | None, unit: str, expected: float | None
) -> None:
    found = Instruments((instrument("it", measures, stated),)).in_unit("it", unit)
    assert found == (None if expected is None else pytest.approx(expected))


def test_gap_is_told_in_words() -> None:
    known = Instruments((instrument("it", "the weather", 1.0), instrument("tape", "length", 1.0)))
    assert "“the weather”" in known.gap_text(("it", "tape"))
    assert known.gap_text(("tape",)) == ""
    assert known.unit_gap_text("tape", "mm") == ""
    assert "measures length; that gives no uncertainty" in known.unit_gap_text("tape", "mm/m")
    assert "“the weather”" in known.unit_gap_text("it", "mm")
    assert known.unit_gap_text("never registered", "mm") == ""

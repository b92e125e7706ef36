"""Dew point against published tables, an independent library and its own identities."""

from __future__ import annotations

from array import array
from itertools import product

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.dew_point import dew_margin_k, dew_point_c, dew_points_c

AIR_C = st.floats(-20.0, 50.0)
HUMIDITY_PCT = st.floats(1.0, 100.0)


@pytest.mark.parametrize(
    ("air_c", "humidity_pct", "expected_c"),
    [
        (5.0, 80.0, 1.834),
        (10.0, 50.0, 0.041),
        (15.0, 65.0, 8.470),
        (20.0, 65.0, 13.217),
        (20.0, 100.0, 20.000),
        (25.0, 85.0, 22.300),
        (30.0, 55.0, 19.972),
        (40.0, 60.0, 30.754),
    ],
)
def test_dew_point_follows_the_magnus_form(
    air_c: float, humidity_pct: float, expected_c: float
) -> None:
    """WMO-No. 8, Annex 4.B, computed in its published form."""
    dew_c = dew_point_c(air_c=air_c, humidity_pct=humidity_pct)
    assert dew_c == pytest.approx(expected_c, abs=0.0006)


def test_dew_point_agrees_with_psychrometrics_above_frost() -> None:
    """psychrolib (ASHRAE Fundamentals); below 0 °C it answers the frost point, another quantity."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    compared = 0
    for air_c, humidity_pct in product(range(41), range(30, 101, 5)):
        reference_c = psychrolib.GetTDewPointFromRelHum(float(air_c), humidity_pct / 100.0)
        if reference_c >= 0.0:
            dew_c = dew_point_c(air_c=air_c, humidity_pct=humidity_pct)
            assert dew_c == pytest.approx(reference_c, abs=0.04)
            compared += 1
    assert compared == 500


def test_dew_point_below_zero_is_not_the_frost_point() -> None:
    """WMO-No. 8 over water; the frost point of the same air is -13.87 °C (psychrolib)."""
    assert dew_point_c(air_c=0.0, humidity_pct=30.0) == pytest.approx(-15.55, abs=0.005)


@pytest.mark.parametrize(
    ("humidity_pct", "from_air_c", "published_c"),
    [
        (50.0, 16, (5.6, 6.5, 7.4, 8.3, 9.3, 10.2, 11.1, 12.0, 12.9, 13.8, 14.8, 15.7, 16.6)),
        (55.0, 16, (7.0, 7.9, 8.8, 9.7, 10.7, 11.6, 12.5, 13.5, 14.4, 15.3, 16.2, 17.2, 18.1)),
        (60.0, 16, (8.3, 9.2, 10.2, 11.1, 12.0, 12.9, 13.8, 14.8, 15.7, 16.7, 17.6, 18.6, 19.5)),
    ],
)
def test_dew_point_keeps_to_a_published_table(
    humidity_pct: float, from_air_c: int, published_c: tuple[float, ...]
) -> None:
    """A paint maker's dew point table of June 2013, printed to 0.1 °C."""
    for air_c, expected_c in enumerate(published_c, start=from_air_c):
        dew_c = dew_point_c(air_c=air_c, humidity_pct=humidity_pct)
        assert dew_c == pytest.approx(expected_c, abs=0.09)


def test_dew_point_matches_a_coating_glossary() -> None:
    """A coating maker's glossary: 30 °C and 55 % give 20 °C."""
    assert dew_point_c(air_c=30.0, humidity_pct=55.0) == pytest.approx(20.0, abs=0.05)


@pytest.mark.parametrize(
    ("air_c", "humidity_pct", "deck_c", "margin_k"),
    [
        (12.0, 70.0, 9.0, 2.30),
        (12.0, 70.0, 9.9, 3.20),
        (10.0, 80.0, 9.5, 2.79),
        (5.0, 82.0, 5.0, 2.81),
        (18.0, 60.0, 13.2, 3.07),
        (18.0, 60.0, 13.1, 2.97),
        (20.0, 65.0, 16.2, 2.97),
        (25.0, 85.0, 25.4, 3.10),
    ],
)
def test_dew_margin_falls_on_its_side_of_three_kelvin(
    air_c: float, humidity_pct: float, deck_c: float, margin_k: float
) -> None:
    """Margins from psychrolib; the 3 K rule is ISO 8502-4 practice for steel."""
    margin = dew_margin_k(deck_c=deck_c, air_c=air_c, humidity_pct=humidity_pct)
    assert margin == pytest.approx(margin_k, abs=0.04)
    assert (margin >= 3.0) == (margin_k >= 3.0)


def test_humidity_of_85_is_weaker_than_the_margin() -> None:
    """At 85 % a deck at air temperature is nearer than 3 K to the dew point, 5 to 30 °C."""
    for air_c in range(5, 31):
        assert dew_margin_k(deck_c=air_c, air_c=air_c, humidity_pct=85.0) < 3.0


@given(air_c=AIR_C)
def test_saturated_air_gives_exactly_its_temperature(air_c: float) -> None:
    assert dew_point_c(air_c=air_c, humidity_pct=100.0) == air_c


@given(air_c=AIR_C, humidity_pct=HUMIDITY_PCT)
def test_dew_point_never_exceeds_air_temperature(air_c: float, humidity_pct: float) -> None:
    assert dew_point_c(air_c=air_c, humidity_pct=humidity_pct) <= air_c


@given(air_c=AIR_C, first_pct=HUMIDITY_PCT, second_pct=HUMIDITY_PCT)
def test_dew_point_rises_with_humidity(air_c: float, first_pct: float, second_pct: float) -> None:
    drier, damper = sorted((first_pct, second_pct))
    lower_c = dew_point_c(air_c=air_c, humidity_pct=drier)
    assert lower_c <= dew_point_c(air_c=air_c, humidity_pct=damper) + 1e-12


@given(first_c=AIR_C, second_c=AIR_C, humidity_pct=HUMIDITY_PCT)
def test_dew_point_rises_with_air_temperature(
    first_c: float, second_c: float, humidity_pct: float
) -> None:
    colder, warmer = sorted((first_c, second_c))
    lower_c = dew_point_c(air_c=colder, humidity_pct=humidity_pct)
    assert lower_c <= dew_point_c(air_c=warmer, humidity_pct=humidity_pct) + 1e-12


@pytest.mark.parametrize(
    ("air_c", "humidity_pct"),
    [
        (-20.01, 50.0),
        (50.01, 50.0),
        (float("nan"), 50.0),
        (20.0, 0.99),
        (20.0, 100.01),
        (20.0, float("nan")),
    ],
)
def test_dew_point_refuses_figures_outside_its_domain(air_c: float, humidity_pct: float) -> None:
    with pytest.raises(DomainError):
        dew_point_c(air_c=air_c, humidity_pct=humidity_pct)


def test_dew_margin_refuses_an_infinite_deck_temperature() -> None:
    with pytest.raises(DomainError, match="deck temperature"):
        dew_margin_k(deck_c=float("inf"), air_c=20.0, humidity_pct=50.0)


READINGS = st.lists(st.tuples(AIR_C, HUMIDITY_PCT), max_size=50)


@given(readings=READINGS)
def test_many_dew_points_have_the_same_digits_as_one(readings: list[tuple[float, float]]) -> None:
    air_c, humidity_pct = [air for air, _ in readings], [humidity for _, humidity in readings]
    singly = [dew_point_c(air_c=air, humidity_pct=humidity) for air, humidity in readings]
    together = dew_points_c(air_c, humidity_pct)
    assert together.typecode == "d"
    assert together.tobytes() == array("d", singly).tobytes()


def test_many_dew_points_of_whole_numbers_have_the_same_digits() -> None:
    pairs = list(product(range(-20, 51), range(1, 101)))
    together = dew_points_c([air for air, _ in pairs], [humidity for _, humidity in pairs])
    assert list(together) == [dew_point_c(air_c=air, humidity_pct=pct) for air, pct in pairs]


def test_many_dew_points_name_the_reading_out_of_range() -> None:
    with pytest.raises(DomainError, match=r"relative humidity, % is 0\.0"):
        dew_points_c([20.0, 20.0], [50.0, 0.0])
    with pytest.raises(DomainError, match="air temperature, °C is nan"):
        dew_points_c([20.0, float("nan")], [50.0, 50.0])
    with pytest.raises(DomainError, match="number of humidities is 1"):
        dew_points_c([20.0, 20.0], [50.0])

"""How well a dew margin is known: derivatives against differences and an outside calculator."""

from __future__ import annotations

import GTC
import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.dew_point import dew_point_c
from qa.trade.dew_uncertainty import dew_margin_uncertainty_k, dew_point_slopes

AIR_C = st.floats(-19.9, 49.9)
HUMIDITY_PCT = st.floats(1.1, 99.9)
SPREAD = st.floats(0.0, 5.0)


@given(air_c=AIR_C, humidity_pct=HUMIDITY_PCT)
def test_slopes_are_those_of_the_dew_point(air_c: float, humidity_pct: float) -> None:
    step = 1e-4
    to_air, to_humidity = dew_point_slopes(air_c=air_c, humidity_pct=humidity_pct)
    by_air = [dew_point_c(air_c=air_c + d, humidity_pct=humidity_pct) for d in (step, -step)]
    by_rh = [dew_point_c(air_c=air_c, humidity_pct=humidity_pct + d) for d in (step, -step)]
    assert to_air == pytest.approx((by_air[0] - by_air[1]) / (2 * step), rel=1e-6)
    assert to_humidity == pytest.approx((by_rh[0] - by_rh[1]) / (2 * step), rel=1e-5)


@given(air_c=AIR_C, humidity_pct=HUMIDITY_PCT, deck=SPREAD, air=SPREAD, humidity=SPREAD)
def test_margin_agrees_with_an_outside_calculator(
    air_c: float, humidity_pct: float, deck: float, air: float, humidity: float
) -> None:
    """The calculator differentiates WMO-No. 8, Annex 4.B, as the source writes it."""
    t, rh, surface = GTC.ureal(air_c, air), GTC.ureal(humidity_pct, humidity), GTC.ureal(14.0, deck)
    gamma = GTC.log(rh / 100) + 17.62 * t / (243.12 + t)
    margin = surface - 243.12 * gamma / (17.62 - gamma)
    found = dew_margin_uncertainty_k(
        air_c=air_c,
        humidity_pct=humidity_pct,
        deck_uncertainty_k=deck,
        air_uncertainty_k=air,
        humidity_uncertainty_pct=humidity,
    )
    assert found == pytest.approx(GTC.uncertainty(margin), rel=1e-9, abs=1e-12)


@given(
    air_c=AIR_C,
    humidity_pct=HUMIDITY_PCT,
    spreads=st.tuples(SPREAD, SPREAD, SPREAD),
    which=st.integers(0, 2),
    more=st.floats(0.01, 2.0),
)
def test_margin_is_worse_known_where_an_instrument_is(
    air_c: float,
    humidity_pct: float,
    spreads: tuple[float, float, float],
    which: int,
    more: float,
) -> None:
    def of(deck: float, air: float, humidity: float) -> float:
        return dew_margin_uncertainty_k(
            air_c=air_c,
            humidity_pct=humidity_pct,
            deck_uncertainty_k=deck,
            air_uncertainty_k=air,
            humidity_uncertainty_pct=humidity,
        )

    worse = [spread + more * (place == which) for place, spread in enumerate(spreads)]
    assert of(*worse) > of(*spreads)


def test_saturated_air_moves_with_its_dew_point() -> None:
    to_air, _ = dew_point_slopes(air_c=12.3, humidity_pct=100.0)
    assert to_air == pytest.approx(1.0)


def test_dry_air_makes_a_hygrometer_matter_most() -> None:
    _, damp = dew_point_slopes(air_c=20.0, humidity_pct=90.0)
    _, dry = dew_point_slopes(air_c=20.0, humidity_pct=10.0)
    assert dry > 5 * damp


@pytest.mark.parametrize(
    ("name", "value", "told"),
    [
        ("air_c", 50.1, "air temperature"),
        ("humidity_pct", 0.9, "relative humidity"),
        ("deck_uncertainty_k", -0.1, "uncertainty of the deck"),
        ("air_uncertainty_k", float("nan"), "uncertainty of the air"),
        ("humidity_uncertainty_pct", float("inf"), "uncertainty of the humidity"),
    ],
)
def test_figure_outside_its_domain_is_refused(name: str, value: float, told: str) -> None:
    sound = {
        "air_c": 14.5,
        "humidity_pct": 62.0,
        "deck_uncertainty_k": 0.5,
        "air_uncertainty_k": 0.5,
        "humidity_uncertainty_pct": 3.0,
    }
    with pytest.raises(DomainError, match=told):
        dew_margin_uncertainty_k(**(sound | {name: value}))

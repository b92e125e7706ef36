"""Catalysts that are not the chart's, and temperatures that move between reading and mixing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.specification.loader import built_in
from qa.trade.catalyst import mass_pct, target_catalyst_ml
from qa.trade.dosing import CatalystGrade, grade_departures, row_change

CHART = built_in("general-grp/1").resin_dose.chart
PHTHALATE = CatalystGrade(density_g_per_ml=1.18, active_oxygen_pct=8.9)


def test_two_makers_sheets_differ_in_oxygen_by_volume() -> None:
    """Makers' published sheets: 1.180 g/ml at 8.8-9.0 %, and 1.017 g/ml at 8.4-8.6 %."""
    light = CatalystGrade(density_g_per_ml=1.017, active_oxygen_pct=8.5)
    found = grade_departures(light, assumed=PHTHALATE, accepted_pct=5.0)
    assert [one.quantity for one in found] == ["density", "active oxygen in a millilitre"]
    assert [one.departure_pct for one in found] == pytest.approx([-13.81, -17.69], abs=0.01)


@pytest.mark.parametrize(
    ("density", "oxygen", "quantities"),
    [
        (1.18, 8.9, []),
        (1.18 * 1.05, None, []),
        (1.18 * 1.0501, None, ["density"]),
        (None, 8.9 * 0.949, ["active oxygen"]),
        (1.18 * 1.03, 8.9 * 1.03, ["active oxygen in a millilitre"]),
        (None, None, []),
    ],
)
def test_departure_is_named_beyond_what_is_accepted(
    density: float | None, oxygen: float | None, quantities: list[str]
) -> None:
    grade = CatalystGrade(density_g_per_ml=density, active_oxygen_pct=oxygen)
    accepted_pct = 5.0 + 1e-9
    found = grade_departures(grade, assumed=PHTHALATE, accepted_pct=accepted_pct)
    assert [one.quantity for one in found] == quantities


def test_dose_by_volume_is_no_percent_by_mass() -> None:
    """Trap: "1 % is 10 ml/kg" is by volume; at 1.180 g/ml, 20 ml/kg is 2.36 % by mass."""
    assert mass_pct(ml_per_kg=20.0, density_g_per_ml=1.18) == pytest.approx(2.36)


@pytest.mark.parametrize(
    ("read_c", "mixing_c", "crosses"),
    [
        (12.9, 12.0, False),
        (12.9, 13.0, True),
        (15.9, 16.0, True),
        (16.0, 19.99, False),
        (19.99, 20.0, True),
        (35.0, 35.1, True),
        (5.0, 4.9, True),
    ],
)
def test_change_of_temperature_crosses_a_row(read_c: float, mixing_c: float, crosses: bool) -> None:
    """Supplier's published dose chart, medium-reactivity MEKP, 5 to 35 °C."""
    assert (row_change(CHART, read_c=read_c, mixing_c=mixing_c) is not None) is crosses


def test_outside_the_chart_is_a_change_to_no_row() -> None:
    change = row_change(CHART, read_c=6.0, mixing_c=4.0)
    assert change is not None
    assert change.read_row is not None
    assert change.mixing_row is None
    assert row_change(CHART, read_c=2.0, mixing_c=2.0) is not None


@given(low_c=st.floats(5.0, 35.0), high_c=st.floats(5.0, 35.0))
def test_dose_never_rises_with_temperature(low_c: float, high_c: float) -> None:
    low_c, high_c = sorted((low_c, high_c))
    cold, warm = CHART.row_at(low_c), CHART.row_at(high_c)
    assert cold is not None
    assert warm is not None
    assert warm.target_ml_per_kg <= cold.target_ml_per_kg


@given(deck_c=st.floats(5.0, 35.0), kg=st.floats(0.01, 500.0), more_kg=st.floats(0.01, 500.0))
def test_dose_rises_with_mass_and_adds(deck_c: float, kg: float, more_kg: float) -> None:
    row = CHART.row_at(deck_c)
    assert row is not None
    one = target_catalyst_ml(resin_kg=kg, row=row).target_ml
    both = target_catalyst_ml(resin_kg=kg + more_kg, row=row).target_ml
    assert both > one
    assert both == pytest.approx(one + target_catalyst_ml(resin_kg=more_kg, row=row).target_ml)


def test_grades_refuse_figures_outside_their_domain() -> None:
    with pytest.raises(DomainError, match="density of the catalyst"):
        CatalystGrade(density_g_per_ml=0.0)
    with pytest.raises(DomainError, match="active oxygen"):
        CatalystGrade(active_oxygen_pct=-1.0)
    with pytest.raises(DomainError, match="accepted departure"):
        grade_departures(PHTHALATE, assumed=PHTHALATE, accepted_pct=-1.0)
    with pytest.raises(DomainError, match="at the mixing"):
        row_change(CHART, read_c=10.0, mixing_c=float("nan"))

"""The dose chart, the dose of a mix, and volume against mass."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.catalyst import (
    DoseChart,
    DoseRow,
    dose_ml_per_kg,
    mass_pct,
    ml_per_kg_from_mass_pct,
    target_catalyst_ml,
)


def row(from_c: float, to_c: float, target: float, *, includes_to: bool = False) -> DoseRow:
    return DoseRow(
        from_c=from_c,
        to_c=to_c,
        includes_to=includes_to,
        target_ml_per_kg=target,
        lower_ml_per_kg=target * 0.85,
        upper_ml_per_kg=target * 1.15,
    )


PUBLISHED = DoseChart(
    rows=(
        row(5.0, 13.0, 40.0),
        row(13.0, 16.0, 30.0),
        row(16.0, 20.0, 20.0),
        row(20.0, 35.0, 10.0, includes_to=True),
    )
)
"""Supplier's published dose chart, medium-reactivity MEKP, 5-35 °C: 4, 3, 2 and 1 %."""


@pytest.mark.parametrize(
    ("deck_c", "target"),
    [
        (5.0, 40.0),
        (12.999, 40.0),
        (13.0, 30.0),
        (15.999, 30.0),
        (16.0, 20.0),
        (19.999, 20.0),
        (20.0, 10.0),
        (35.0, 10.0),
    ],
)
def test_row_holds_from_its_start_to_before_its_end(deck_c: float, target: float) -> None:
    found = PUBLISHED.row_at(deck_c)
    assert found is not None
    assert found.target_ml_per_kg == target


@pytest.mark.parametrize("deck_c", [-10.0, 4.999, 35.001, 60.0, float("nan"), float("inf")])
def test_chart_is_never_extrapolated(deck_c: float) -> None:
    assert PUBLISHED.row_at(deck_c) is None


def test_last_row_may_exclude_its_end() -> None:
    assert DoseChart(rows=(row(5.0, 35.0, 20.0),)).row_at(35.0) is None


@given(first_c=st.floats(5.0, 35.0), second_c=st.floats(5.0, 35.0))
def test_published_dose_never_rises_with_warmth(first_c: float, second_c: float) -> None:
    colder, warmer = (PUBLISHED.row_at(deck_c) for deck_c in sorted((first_c, second_c)))
    assert colder is not None
    assert warmer is not None
    assert colder.target_ml_per_kg >= warmer.target_ml_per_kg


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ((), "number of rows"),
        ((row(5, 13, 40), row(14, 16, 30)), "the chart has a hole from 13 to 14 °C"),
        ((row(5, 13, 40), row(12, 16, 30)), "the chart's rows overlap from 12 to 13 °C"),
        ((row(5, 13, 40, includes_to=True), row(13, 16, 30)), "the chart's rows overlap at 13 °C"),
        ((row(13, 16, 30), row(5, 13, 40)), "the rows run from the coldest to the warmest"),
    ],
)
def test_chart_says_where_its_rows_do_not_fit(rows: tuple[DoseRow, ...], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        DoseChart(rows=rows)


@pytest.mark.parametrize(
    "change",
    [
        {"to_c": 16.0},
        {"to_c": 15.0},
        {"from_c": float("nan")},
        {"lower_ml_per_kg": 0.0},
        {"lower_ml_per_kg": 20.1},
        {"upper_ml_per_kg": 19.9},
        {"upper_ml_per_kg": float("inf")},
        {"target_ml_per_kg": float("nan")},
    ],
)
def test_row_refuses_figures_that_make_no_band(change: dict[str, float]) -> None:
    with pytest.raises(DomainError, match="chart row"):
        replace(row(16.0, 20.0, 20.0), **change)


@pytest.mark.parametrize(
    ("resin_kg", "millilitres"),
    [
        (0.5, (20, 15, 10, 5)),
        (1.0, (40, 30, 20, 10)),
        (5.0, (200, 150, 100, 50)),
        (10.0, (400, 300, 200, 100)),
    ],
)
def test_target_matches_the_published_chart(resin_kg: float, millilitres: tuple[int, ...]) -> None:
    """Supplier's published dose chart, ml for 500 g to 10 kg."""
    for chart_row, expected_ml in zip(PUBLISHED.rows, millilitres, strict=True):
        advice = target_catalyst_ml(resin_kg=resin_kg, row=chart_row)
        assert advice.target_ml == pytest.approx(expected_ml)
        assert advice.lower_ml <= advice.target_ml <= advice.upper_ml


def test_misprint_of_a_published_table_is_not_repeated() -> None:
    """A supplier's guide prints 20 ml for 3 % of 1 kg; its own rule gives 30."""
    assert target_catalyst_ml(resin_kg=1.0, row=row(13.0, 16.0, 30.0)).target_ml == 30.0


@pytest.mark.parametrize(
    ("density", "percent", "millilitres"),
    [
        (1.0, 2.0, 20.0),
        (1.017, 1.0, 9.83),
        (1.017, 4.0, 39.33),
        (1.16, 2.5, 21.55),
        (1.18, 1.0, 8.47),
        (1.18, 1.5, 12.71),
        (1.18, 2.0, 16.95),
        (1.18, 4.0, 33.90),
    ],
)
def test_percent_by_mass_becomes_millilitres(
    density: float, percent: float, millilitres: float
) -> None:
    """Densities of 1.017 and 1.180 g/ml: two published data sheets; the rest is arithmetic."""
    dose = ml_per_kg_from_mass_pct(mass_pct=percent, density_g_per_ml=density)
    assert dose == pytest.approx(millilitres, abs=0.005)


@pytest.mark.parametrize(("dose", "percent"), [(10.0, 1.18), (20.0, 2.36), (40.0, 4.72)])
def test_ten_millilitres_is_not_one_percent_by_mass(dose: float, percent: float) -> None:
    """At 1.180 g/ml, so 40 ml/kg passes a ceiling of 4 % by mass though the chart asks for it."""
    assert mass_pct(ml_per_kg=dose, density_g_per_ml=1.18) == pytest.approx(percent)


@given(dose=st.floats(0.0, 100.0), density=st.floats(0.5, 2.0))
def test_mass_percent_and_dose_are_inverse(dose: float, density: float) -> None:
    percent = mass_pct(ml_per_kg=dose, density_g_per_ml=density)
    back = ml_per_kg_from_mass_pct(mass_pct=percent, density_g_per_ml=density)
    assert back == pytest.approx(dose)


@given(resin_kg=st.floats(0.1, 50.0), less_ml=st.floats(0.0, 500.0), more_ml=st.floats(0.0, 500.0))
def test_dose_rises_with_catalyst(resin_kg: float, less_ml: float, more_ml: float) -> None:
    less, more = (
        dose_ml_per_kg(catalyst_ml=ml, resin_kg=resin_kg) for ml in sorted((less_ml, more_ml))
    )
    assert less <= more


def test_forgotten_catalyst_is_a_dose_of_nought() -> None:
    assert dose_ml_per_kg(catalyst_ml=0.0, resin_kg=5.0) == 0.0


def test_dose_refuses_figures_outside_its_domain() -> None:
    with pytest.raises(DomainError, match="resin"):
        dose_ml_per_kg(catalyst_ml=100.0, resin_kg=0.0)
    with pytest.raises(DomainError, match="catalyst"):
        dose_ml_per_kg(catalyst_ml=-1.0, resin_kg=5.0)
    with pytest.raises(DomainError, match="resin in the mix"):
        target_catalyst_ml(resin_kg=-5.0, row=PUBLISHED.rows[0])
    with pytest.raises(DomainError, match="density"):
        mass_pct(ml_per_kg=20.0, density_g_per_ml=0.0)
    with pytest.raises(DomainError, match="density"):
        ml_per_kg_from_mass_pct(mass_pct=2.0, density_g_per_ml=float("nan"))

"""Resin, glass and thickness against published ratios and examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.laminate import (
    bandage_area_m2,
    bandage_resin_kg,
    fraction_from_ratio,
    glass_fraction,
    glass_fraction_on_ignition,
    ratio_from_fraction,
    resin_at_fraction_kg_per_m2,
    resin_for_mat_kg_per_m2,
    thickness_mm,
)

RATIO_AND_PCT = [(2.0, 33.333), (2.25, 30.769), (7 / 3, 30.0), (2.5, 28.571), (3.0, 25.0)]
MAT_G_PER_M2 = st.floats(100.0, 1200.0)
FRACTION = st.floats(0.05, 0.95)


@pytest.mark.parametrize(("ratio", "percent"), RATIO_AND_PCT)
def test_ratio_and_fraction_are_two_scales(ratio: float, percent: float) -> None:
    """Definition: 2.5 : 1 is 28.57 % glass, neither 25 % nor 40 %."""
    fraction = fraction_from_ratio(resin_to_glass=ratio)
    assert 100.0 * fraction == pytest.approx(percent, abs=0.0006)
    assert ratio_from_fraction(glass_fraction=fraction) == pytest.approx(ratio)


def test_resin_matches_a_published_worked_example() -> None:
    """A supplier's guide: 3 x 600 g over 1 m² is 1.8 kg of glass and 4.5 kg of resin."""
    layer = resin_for_mat_kg_per_m2(mat_g_per_m2=600.0, resin_to_glass=2.5)
    assert 3 * layer == pytest.approx(4.5)
    assert glass_fraction(glass_kg=1.8, resin_kg=4.5) == pytest.approx(1 / 3.5)


@given(mat=MAT_G_PER_M2, fraction=FRACTION)
def test_resin_laid_gives_the_fraction_back(mat: float, fraction: float) -> None:
    resin = resin_at_fraction_kg_per_m2(mat_g_per_m2=mat, glass_fraction=fraction)
    assert glass_fraction(glass_kg=mat / 1000.0, resin_kg=resin) == pytest.approx(fraction)


@pytest.mark.parametrize(
    ("fraction", "per_225", "per_300", "per_450", "per_600"),
    [
        (0.25, 0.650, 0.867, 1.301, 1.734),
        (1 / 3.5, 0.557, 0.742, 1.113, 1.484),
        (0.30, 0.525, 0.701, 1.051, 1.401),
        (1 / 3, 0.463, 0.617, 0.926, 1.234),
        (0.35, 0.436, 0.581, 0.872, 1.163),
    ],
)
def test_thickness_equals_the_classification_form(
    fraction: float, per_225: float, per_300: float, per_450: float, per_600: float
) -> None:
    """ISO 12215-5 form, from memory: (2.56 / fraction - 1.36) / 3.072 mm per kg/m² of glass."""
    layers = {225.0: per_225, 300.0: per_300, 450.0: per_450, 600.0: per_600}
    for mat, expected_mm in layers.items():
        resin = resin_at_fraction_kg_per_m2(mat_g_per_m2=mat, glass_fraction=fraction)
        thickness = thickness_mm(
            glass_kg_per_m2=mat / 1000.0,
            resin_kg_per_m2=resin,
            glass_g_per_cm3=2.56,
            resin_g_per_cm3=1.20,
        )
        assert thickness == pytest.approx(expected_mm, abs=0.001)
        assert thickness == pytest.approx(mat / 1000.0 * (2.56 / fraction - 1.36) / 3.072)


def test_thickness_of_layers_adds() -> None:
    """Two layers of 450 g/m² at 2 : 1 come to 1.852 mm (a lecture's question, answer computed)."""
    densities = {"glass_g_per_cm3": 2.56, "resin_g_per_cm3": 1.20}
    one = thickness_mm(glass_kg_per_m2=0.45, resin_kg_per_m2=0.90, **densities)
    two = thickness_mm(glass_kg_per_m2=0.90, resin_kg_per_m2=1.80, **densities)
    assert two == pytest.approx(2 * one)
    assert two == pytest.approx(1.852, abs=0.001)


def test_ignition_gives_the_constructed_fraction() -> None:
    """ISO 1172 method A, formula from memory; constructed weighings."""
    fraction = glass_fraction_on_ignition(
        crucible_g=25.1234, with_specimen_g=28.2460, with_residue_g=26.0602
    )
    assert 100.0 * fraction == pytest.approx(30.0006, abs=0.00005)


@given(first_m=st.floats(0.0, 500.0), second_m=st.floats(0.0, 500.0))
def test_bandage_lines_add_by_length(first_m: float, second_m: float) -> None:
    def resin(length_m: float) -> float:
        return bandage_resin_kg(
            length_m=length_m, width_mm=75.0, bandage_g_per_m2=450.0, resin_to_glass=2.5
        )

    assert resin(first_m) + resin(second_m) == pytest.approx(resin(first_m + second_m))


def test_bandage_area_is_length_times_width() -> None:
    assert bandage_area_m2(length_m=40.0, width_mm=75.0) == pytest.approx(3.0)


def test_laminate_refuses_figures_outside_their_domain() -> None:
    with pytest.raises(DomainError, match="fraction"):
        ratio_from_fraction(glass_fraction=0.0)
    with pytest.raises(DomainError, match="fraction"):
        resin_at_fraction_kg_per_m2(mat_g_per_m2=450.0, glass_fraction=1.01)
    with pytest.raises(DomainError, match="resin to glass"):
        fraction_from_ratio(resin_to_glass=-0.1)
    with pytest.raises(DomainError, match="mass of the mat"):
        resin_for_mat_kg_per_m2(mat_g_per_m2=0.0, resin_to_glass=2.5)
    with pytest.raises(DomainError, match="glass, kg"):
        glass_fraction(glass_kg=0.0, resin_kg=1.0)
    with pytest.raises(DomainError, match="density of the glass"):
        thickness_mm(
            glass_kg_per_m2=0.45, resin_kg_per_m2=1.1, glass_g_per_cm3=0.0, resin_g_per_cm3=1.2
        )
    with pytest.raises(DomainError, match="residue"):
        glass_fraction_on_ignition(crucible_g=25.0, with_specimen_g=28.0, with_residue_g=28.1)
    with pytest.raises(DomainError, match="specimen"):
        glass_fraction_on_ignition(crucible_g=25.0, with_specimen_g=25.0, with_residue_g=25.0)
    with pytest.raises(DomainError, match="width"):
        bandage_area_m2(length_m=1.0, width_mm=0.0)

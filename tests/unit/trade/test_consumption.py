"""What was used, what was expected, and the balance of a lot."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.consumption import (
    LotBalance,
    expected_laminate_resin_kg_per_m2,
    rate_kg_per_m2,
    rate_uncertainty_kg_per_m2,
    used_kg,
)

KG = st.floats(0.0, 1000.0)


@pytest.mark.parametrize(("mat", "expected"), [(450.0, 1.5), (600.0, 1.875)])
def test_expected_resin_reaches_a_published_site_figure(mat: float, expected: float) -> None:
    """A supplier's page asks 1.5 kg/m² over 450 g mat; uptake 0.375 kg/m² (project choice)."""
    resin = expected_laminate_resin_kg_per_m2(
        mat_g_per_m2=mat, layers=1, resin_to_glass=2.5, deck_uptake_kg_per_m2=0.375
    )
    assert resin == pytest.approx(expected)


@given(layers=st.integers(1, 5), uptake=st.floats(0.0, 1.0))
def test_deck_drinks_once_however_many_layers(layers: int, uptake: float) -> None:
    resin = expected_laminate_resin_kg_per_m2(
        mat_g_per_m2=450.0, layers=layers, resin_to_glass=2.5, deck_uptake_kg_per_m2=uptake
    )
    assert resin == pytest.approx(1.125 * layers + uptake)


@given(opened=KG, drawn=KG, back=st.floats(0.0, 1.0), lost=st.floats(0.0, 1.0))
def test_mass_is_conserved_from_store_to_roof(
    opened: float, drawn: float, back: float, lost: float
) -> None:
    returned = (opened + drawn) * back
    wasted = (opened + drawn - returned) * lost
    used = used_kg(opened_kg=opened, drawn_kg=drawn, returned_kg=returned, wasted_kg=wasted)
    assert used >= 0.0
    assert used + returned + wasted == pytest.approx(opened + drawn)


def test_more_back_than_out_is_refused() -> None:
    with pytest.raises(DomainError, match="went out"):
        used_kg(opened_kg=10.0, returned_kg=9.0, wasted_kg=1.1)
    assert used_kg(opened_kg=0.3, returned_kg=0.2, wasted_kg=0.1) == 0.0


@given(bought=st.floats(0.1, 1000.0), used=KG, wasted=KG, returned=KG, left=KG)
def test_lot_accounts_for_all_that_was_bought(
    bought: float, used: float, wasted: float, returned: float, left: float
) -> None:
    lot = LotBalance(bought=bought, used=used, wasted=wasted, returned=returned, left=left)
    assert lot.unaccounted is not None
    assert used + wasted + returned + left + lot.unaccounted == pytest.approx(bought, abs=1e-9)


def test_lot_with_nothing_weighed_back_claims_nothing() -> None:
    lot = LotBalance(bought=25.0, used=20.0)
    assert lot.unaccounted is None
    assert lot.left_by_book == 5.0


@pytest.mark.parametrize(("used", "overdrawn"), [(0.1 + 0.2, False), (0.3, False), (0.301, True)])
def test_lot_cannot_give_more_than_was_bought(used: float, overdrawn: bool) -> None:
    assert LotBalance(bought=0.3, used=used).is_overdrawn is overdrawn


def test_uncertainty_of_a_rate_adds_in_quadrature() -> None:
    """JCGM 100:2008 5.1.2, from memory: relative uncertainties of 3 % and 4 % make 5 %."""
    uncertainty = rate_uncertainty_kg_per_m2(
        kg=30.0, m2=20.0, kg_uncertainty=0.9, m2_uncertainty=0.8
    )
    assert uncertainty == pytest.approx(0.05 * rate_kg_per_m2(30.0, 20.0))


def test_uncertainty_of_nothing_used_is_the_scale_alone() -> None:
    uncertainty = rate_uncertainty_kg_per_m2(
        kg=0.0, m2=20.0, kg_uncertainty=0.5, m2_uncertainty=0.8
    )
    assert uncertainty == pytest.approx(0.025)


def test_consumption_refuses_figures_outside_its_domain() -> None:
    with pytest.raises(DomainError, match="net area"):
        rate_kg_per_m2(30.0, 0.0)
    with pytest.raises(DomainError, match="used, kg"):
        rate_kg_per_m2(-1.0, 20.0)
    with pytest.raises(DomainError, match="layers"):
        expected_laminate_resin_kg_per_m2(
            mat_g_per_m2=450.0, layers=0, resin_to_glass=2.5, deck_uptake_kg_per_m2=0.0
        )
    with pytest.raises(DomainError, match="bought"):
        LotBalance(bought=0.0, used=0.0)
    with pytest.raises(DomainError, match="left"):
        LotBalance(bought=1.0, used=0.0, left=float("nan"))

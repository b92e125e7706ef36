"""The gel-time estimate against published tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.gel_time import GelDomain, GelModel, GelPoint

DOMAIN = GelDomain(from_c=5.0, to_c=30.0, from_ml_per_kg=10.0, to_ml_per_kg=40.0)
DECK_C = st.floats(5.0, 30.0)
DOSE = st.floats(10.0, 40.0)


def point(deck_c: float, dose: float, gel_min: float) -> GelPoint:
    return GelPoint(deck_c=deck_c, dose_ml_per_kg=dose, gel_min=gel_min)


LEAFLET = (
    point(15.0, 10.0, 74.0),
    point(15.0, 20.0, 28.0),
    point(20.0, 10.0, 48.0),
    point(20.0, 20.0, 19.0),
)
"""A resin maker's published leaflet: 1 and 2 % of catalyst, 15 and 20 °C, minutes."""

MODEL = GelModel.fit(LEAFLET, domain=DOMAIN, spread_ratio=1.5)


@pytest.mark.parametrize("shown", LEAFLET)
def test_estimate_gives_back_the_leaflet(shown: GelPoint) -> None:
    gel = MODEL.estimate(shown.deck_c, shown.dose_ml_per_kg)
    assert gel.gel_min == pytest.approx(shown.gel_min, rel=0.012)
    assert not gel.extrapolated


@pytest.mark.parametrize(
    ("deck_c", "dose", "gel_min"),
    [
        (15.0, 10.0, 62.0),  # another resin's leaflet, 1 %
        (15.0, 20.0, 41.0),  # the same, 2 %
        (20.0, 20.0, 15.0),  # a general guide, 2 % at 20 °C: 15 to 20 min
        (20.0, 20.0, 20.0),
        (5.0, 40.0, 120.0),  # a hobby chart, 4 %
        (20.0, 40.0, 5.0),  # the same
    ],
)
def test_band_holds_what_other_sources_publish(deck_c: float, dose: float, gel_min: float) -> None:
    gel = MODEL.estimate(deck_c, dose)
    assert gel.low_min <= gel_min <= gel.high_min


def test_exact_table_is_fitted_exactly() -> None:
    """Halved by 10 K and by a doubled dose: three points settle three figures."""
    exact = (point(10.0, 10.0, 80.0), point(20.0, 10.0, 40.0), point(10.0, 20.0, 40.0))
    gel = GelModel.fit(exact, domain=DOMAIN, spread_ratio=1.0).estimate(20.0, 20.0)
    assert gel.gel_min == pytest.approx(20.0)
    assert gel.low_min == pytest.approx(gel.high_min)


@given(first_c=DECK_C, second_c=DECK_C, dose=DOSE)
def test_gel_time_falls_with_warmth(first_c: float, second_c: float, dose: float) -> None:
    colder, warmer = (MODEL.estimate(c, dose).gel_min for c in sorted((first_c, second_c)))
    assert colder >= warmer * (1.0 - 1e-12)


@given(deck_c=DECK_C, first=DOSE, second=DOSE)
def test_gel_time_falls_with_dose(deck_c: float, first: float, second: float) -> None:
    leaner, richer = (MODEL.estimate(deck_c, dose).gel_min for dose in sorted((first, second)))
    assert leaner >= richer * (1.0 - 1e-12)


@given(deck_c=DECK_C, dose=DOSE)
def test_band_is_never_narrower_than_in_the_table(deck_c: float, dose: float) -> None:
    gel = MODEL.estimate(deck_c, dose)
    assert gel.low_min < gel.gel_min < gel.high_min
    assert gel.high_min / gel.gel_min >= 1.5
    inside = 15.0 <= deck_c <= 20.0 and dose <= 20.0
    assert gel.extrapolated != inside


@pytest.mark.parametrize(
    ("deck_c", "dose"),
    [(4.9, 20.0), (30.1, 20.0), (20.0, 9.9), (20.0, 40.1), (float("nan"), 20.0), (20.0, 0.0)],
)
def test_nothing_is_estimated_outside_the_domain(deck_c: float, dose: float) -> None:
    with pytest.raises(DomainError, match="for a gel time"):
        MODEL.estimate(deck_c, dose)


@pytest.mark.parametrize(
    ("points", "sentence"),
    [
        (LEAFLET[:2], "3 or more"),
        ((LEAFLET[0], LEAFLET[1], point(15.0, 40.0, 12.0)), "not along one line"),
        ((LEAFLET[0], LEAFLET[3], LEAFLET[0]), "not along one line"),
        ((LEAFLET[0], LEAFLET[1], point(20.0, 10.0, 90.0)), "gels sooner"),
    ],
)
def test_table_that_settles_nothing_is_refused(points: tuple[GelPoint, ...], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        GelModel.fit(points, domain=DOMAIN, spread_ratio=1.5)


def test_model_refuses_figures_outside_their_domain() -> None:
    with pytest.raises(DomainError, match="spread"):
        GelModel.fit(LEAFLET, domain=DOMAIN, spread_ratio=0.9)
    with pytest.raises(DomainError, match="gel time, min"):
        point(15.0, 10.0, 0.0)
    with pytest.raises(DomainError, match="highest temperature"):
        GelDomain(from_c=20.0, to_c=20.0, from_ml_per_kg=10.0, to_ml_per_kg=20.0)
    with pytest.raises(DomainError, match="greatest dose"):
        GelDomain(from_c=15.0, to_c=20.0, from_ml_per_kg=20.0, to_ml_per_kg=10.0)


@given(deck_c=DECK_C, dose=DOSE, gel_min=st.floats(2.0, 200.0))
def test_trial_is_given_back_with_its_band(deck_c: float, dose: float, gel_min: float) -> None:
    gel = MODEL.through(point(deck_c, dose, gel_min)).estimate(deck_c, dose)
    assert gel.gel_min == pytest.approx(gel_min)
    assert not gel.extrapolated
    assert gel.low_min == pytest.approx(gel_min / 1.5, rel=0.012)


@given(deck_c=DECK_C, dose=DOSE)
def test_trial_moves_every_time_by_one_ratio(deck_c: float, dose: float) -> None:
    tried = MODEL.through(point(15.0, 20.0, 56.0))
    before, after = MODEL.estimate(deck_c, dose), tried.estimate(deck_c, dose)
    ratio = 56.0 / MODEL.estimate(15.0, 20.0).gel_min
    assert after.gel_min / before.gel_min == pytest.approx(ratio)


def test_trial_outside_the_domain_is_refused() -> None:
    with pytest.raises(DomainError, match="deck temperature"):
        MODEL.through(point(4.0, 40.0, 30.0))

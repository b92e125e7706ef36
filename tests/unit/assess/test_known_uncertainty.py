"""How well each judged quantity is known, and what that does to its verdict and its sentence."""

from __future__ import annotations

import re
from dataclasses import replace
from math import hypot
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.assess.finding import Finding, assessment_json
from qa.specification.model import Figure
from qa.trade.conformity import Verdict
from qa.trade.dew_uncertainty import dew_margin_uncertainty_k
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, assessed, equipped, findings, only, sound_job
from tests.unit.assess.test_guarded_rule import GUARDED

WEATHER = {"air_c": 14.5, "humidity_pct": 62, "deck_c": 13}
ALL = ["probe", "air meter", "pins"]
UNKNOWN = st.one_of(st.none(), st.floats(0, 10))


def with_instruments(*, probe: float = 0.5, air: float = 2.0, pins: float = 1.2) -> RecordBuilder:
    builder = RecordBuilder.opened()
    builder.add("area")
    for key, measures, uncertainty in (
        ("probe", "deck temperature, °C", probe),
        ("air meter", "air temperature, °C, and relative humidity, %", air),
        ("pins", "moisture content, %", pins),
    ):
        builder.add(
            "instrument", instrument=key, measures=measures, expanded_uncertainty=uncertainty
        )
    for lot in ("resin-1", "catalyst-1"):
        builder.add("lot", lot=lot, material=lot.partition("-")[0], quantity=100)
    return builder


def read(*, instruments: Any = ALL, **reading: Any) -> RecordBuilder:
    builder = with_instruments()
    builder.add("conditions", **(WEATHER | reading), instruments=instruments)
    return builder


def test_reading_is_known_by_the_instruments_that_it_names() -> None:
    builder = read(moisture_pct=14, stage="laminate")
    known = {
        check: only(builder, check, stage="laminate").expanded_uncertainty
        for check in (
            "conditions.deck_temperature",
            "conditions.air_temperature",
            "conditions.humidity",
            "deck.moisture",
        )
    }
    assert list(known.values()) == [0.5, 2.0, 2.0, 1.2]


def test_dew_margin_is_known_from_all_three() -> None:
    found = only(read(), "conditions.dew_margin", stage="laminate")
    expected = dew_margin_uncertainty_k(
        air_c=14.5,
        humidity_pct=62,
        deck_uncertainty_k=0.5,
        air_uncertainty_k=2,
        humidity_uncertainty_pct=2,
    )
    assert found.expanded_uncertainty == pytest.approx(expected)
    assert re.search(r"5\.\d+ K ± 2 K \(k = 2\)", found.exact)


@pytest.mark.parametrize("instruments", [..., ["probe"], ["air meter"]])
def test_margin_with_an_unknown_part_is_not_known(instruments: Any) -> None:
    found = only(read(instruments=instruments), "conditions.dew_margin", stage="laminate")
    assert found.expanded_uncertainty is None
    assert "k = 2" not in found.exact


def test_words_that_name_nothing_are_told() -> None:
    builder = with_instruments()
    builder.add("instrument", instrument="vane", measures="wind speed", expanded_uncertainty=1)
    builder.add("conditions", **WEATHER, instruments=["vane"])
    found = only(builder, "conditions.deck_temperature", stage="laminate")
    assert found.expanded_uncertainty is None
    assert "Instrument vane measures “wind speed”, which names no known quantity" in found.exact


def test_mix_takes_the_widest_of_the_registered() -> None:
    builder = with_instruments()
    builder.add("instrument", instrument="gun", measures="surface temperature",
                expanded_uncertainty=1.5)  # fmt: skip
    builder.add("conditions", at="08:00", **WEATHER, instruments=ALL)
    builder.add("mix", at="08:10")
    found = only(builder, "conditions.deck_temperature", subject="mix-1")
    assert found.expanded_uncertainty == 1.5
    assert "Uncertainty from gun, as a mix names no instrument." in found.exact
    margin = only(builder, "conditions.dew_margin", subject="mix-1")
    assert margin.expanded_uncertainty is not None
    assert margin.expanded_uncertainty > 1.5


def test_dose_is_known_by_the_specification_without_instruments() -> None:
    builder = equipped()
    builder.add("mix", kg=5, catalyst_ml=150)
    found = only(builder, "mix.dose", subject="mix-1")
    # 3 ml and 0.05 kg: project choice.
    assert found.expanded_uncertainty == pytest.approx(hypot(3 / 5, 30 * 0.05 / 5))
    assert "30 ml/kg ± 0.67 ml/kg (k = 2)" in found.exact
    assert "Uncertainty from catalyst measure by the spec" in found.exact


def test_registered_scale_and_measure_go_before_the_specification() -> None:
    builder = equipped()
    builder.add("instrument", instrument="jug", measures="volume, ml", expanded_uncertainty=1)
    builder.add("instrument", instrument="scale", measures="mass, g", expanded_uncertainty=20)
    builder.add("mix", kg=5, catalyst_ml=150)
    found = only(builder, "mix.dose", subject="mix-1")
    assert found.expanded_uncertainty == pytest.approx(hypot(1 / 5, 30 * 0.02 / 5))
    assert "Uncertainty from jug and scale." in found.exact


def consumed(*, scale: float | None = 0.6, kg: float = 36.0, **usage: Any) -> Finding:
    builder = equipped()
    builder.add("instrument", instrument="scale", measures="mass, kg", expanded_uncertainty=scale)
    builder.add("usage", used=kg, **({"instrument": "scale"} | usage))
    return only(builder, "laminate.consumption", subject=None)


def test_consumption_names_the_share_of_each_source() -> None:
    found = consumed()
    # 24 m² taped all round: 20 m / 2 times 0.01 m, project choice.
    of_scale, of_tape = 0.6 / 24, 1.5 * 0.1 / 24
    assert found.expanded_uncertainty == pytest.approx(hypot(of_scale, of_tape))
    assert "Uncertainty from scale 94 %, tape by the specification 6 %." in found.exact


def test_usage_without_instrument_takes_the_specification() -> None:
    found = consumed(instrument=...)
    assert found.expanded_uncertainty == pytest.approx(hypot(0.05 / 24, 1.5 * 0.1 / 24))
    assert "scale by the specification" in found.exact


@pytest.mark.parametrize("usage", [{"scale": None}, {"instrument": "thermometer"}])
def test_usage_by_a_silent_instrument_is_not_known(usage: Any) -> None:
    assert consumed(**usage).expanded_uncertainty is None


def test_waste_makes_the_mass_laid_no_better_known() -> None:
    found = consumed(kg=38.0, wasted=2.0)
    expected = hypot(0.6 / 24, 0.6 / 24, 1.5 * 0.1 / 24)
    assert found.expanded_uncertainty == pytest.approx(expected)


def test_group_of_bays_is_known_by_its_edges() -> None:
    builder = equipped()
    builder.add("mix", kg=3, bays=["r1b1", "r1b2"])
    found = only(builder, "laminate.consumption", subject="mix-1")
    of_edges_m2 = 0.05 * hypot(2.0, 2.0)
    assert found.expanded_uncertainty == pytest.approx(hypot(0.05 / 2, 1.5 * of_edges_m2 / 2))
    assert "edges of the bays by the specification" in found.exact
    first = only(builder, "laminate.first_mix_area")
    assert first.expanded_uncertainty == pytest.approx(of_edges_m2)


def test_glass_fraction_is_known_by_scale_tape_and_mat() -> None:
    builder = equipped()
    builder.add("usage", used=36)
    found = only(builder, "laminate.glass_fraction")
    glass, resin = 10.8, 27.0
    to_glass, to_resin = resin / 37.8**2, -glass / 37.8**2
    of_area = to_glass * 0.45 * 0.1 + to_resin * -0.375 * 0.1
    expected = hypot(to_glass * glass * 0.05, to_resin * 0.05, of_area)
    assert found.expanded_uncertainty == pytest.approx(expected)
    assert "Uncertainty from mat by the specification" in found.exact


def test_mat_off_the_roll_leaves_the_tape_less_to_say() -> None:
    builder = equipped()
    builder.add("lot", lot="mat-1", material="mat", unit="m2", quantity=30)
    builder.add("usage", used=36)
    builder.add("usage", lot="mat-1", used=24, unit="m2")
    found = only(builder, "laminate.glass_fraction")
    assert found.expanded_uncertainty is not None
    assert found.expanded_uncertainty < only(equipped_with(36), GLASS).expanded_uncertainty


GLASS = "laminate.glass_fraction"


def equipped_with(kg: float) -> RecordBuilder:
    builder = equipped()
    builder.add("usage", used=kg)
    return builder


def test_thickness_is_known_by_a_registered_gauge() -> None:
    builder = equipped()
    builder.add("examination", thickness_mm=[1.6, 1.8])
    assert only(builder, "laminate.thickness").expanded_uncertainty is None
    builder.add("instrument", instrument="gauge", measures="thickness, mm",
                expanded_uncertainty=0.1)  # fmt: skip
    assert only(builder, "laminate.thickness").expanded_uncertainty == 0.1


def test_measurement_counts_in_the_unit_of_its_limit() -> None:
    builder = equipped()
    builder.add("instrument", instrument="tape", measures="length, m", expanded_uncertainty=0.002)
    asked = {"stage": "deck", "area": "main", "instrument": "tape"}
    builder.add("measurement", check="deck.expansion_gap", value=25, unit="mm", **asked)
    found = only(builder, "deck.expansion_gap")
    assert found.expanded_uncertainty == pytest.approx(2)
    assert "25 mm ± 2 mm (k = 2)" in found.exact


def test_instrument_of_another_quantity_is_told() -> None:
    builder = equipped()
    builder.add("instrument", instrument="tape", measures="length, mm", expanded_uncertainty=1)
    fall = {"stage": "survey", "check": "survey.fall", "value": 25, "unit": "mm/m"}
    builder.add("measurement", **fall, area="main", instrument="tape")
    found = only(builder, "survey.fall")
    assert found.expanded_uncertainty is None
    assert "Instrument tape measures length; that gives no uncertainty" in found.exact


def test_sentence_says_how_probably_it_conforms() -> None:
    builder = equipped()
    builder.add("instrument", instrument="pins", measures="moisture", expanded_uncertainty=1)
    builder.add("measurement", value=17.3, area="main", instrument="pins")
    found = only(builder, "deck.moisture")
    # JCGM 106:2012 7.3.3: F(1.4) = 0.919.
    assert "; within limits, probability of conformity 91.9 %." in found.exact


@pytest.mark.parametrize(
    ("value", "told"), [(10, "above 99.9 %"), (30, "below 0.1 %"), (18, "50.0 %")]
)
def test_no_probability_is_told_as_certain(value: float, told: str) -> None:
    builder = equipped()
    builder.add("instrument", instrument="pins", measures="moisture", expanded_uncertainty=1)
    builder.add("measurement", value=value, area="main", instrument="pins")
    assert f"probability of conformity {told}." in only(builder, "deck.moisture").exact


def test_count_tells_neither_spread_nor_probability() -> None:
    for found in findings(sound_job(), "deck.fixings_across_board"):
        assert found.expanded_uncertainty == 0
        assert "±" not in found.exact
        assert "probability" not in found.exact


def test_format_has_no_field_more_than_before() -> None:
    told = assessment_json(assessed(read()))["findings"][0]
    assert len(told) == 19
    assert "expanded_uncertainty" in told


def test_guarded_rule_decides_what_is_known() -> None:
    builder = with_instruments(air=0.5)
    builder.add("conditions", at="08:00", **WEATHER, instruments=ALL)
    builder.add("mix", at="08:05", kg=5, catalyst_ml=150)
    assessment = assessed(builder, GUARDED)
    for check in ("conditions.dew_margin", "conditions.deck_temperature", "mix.dose"):
        verdicts = {f.verdict for f in findings(assessment, check, stage="laminate")}
        assert verdicts == {Verdict.WITHIN}, check


@pytest.mark.parametrize(
    ("catalyst_ml", "verdict"),
    # 34.5 ml/kg is the top of the chart at 13 °C; 5 kg, U 0.69 ml/kg there.
    [(168, Verdict.WITHIN), (172, Verdict.UNDECIDED), (174, Verdict.UNDECIDED), (177, "outside")],
)
def test_dose_near_its_limit_is_open_under_the_guarded_rule(
    catalyst_ml: float, verdict: Verdict
) -> None:
    builder = equipped()
    builder.add("mix", kg=5, catalyst_ml=catalyst_ml, deck_c=13)
    assert only(assessed(builder, GUARDED), "mix.dose", subject="mix-1").verdict == verdict


@given(probe=UNKNOWN, air=UNKNOWN, scale=UNKNOWN, dose=st.floats(100, 250), kg=st.floats(20, 60))
def test_guarding_never_turns_outside_into_within(
    probe: float | None, air: float | None, scale: float | None, dose: float, kg: float
) -> None:
    builder = equipped()
    for key, measures, uncertainty in (
        ("probe", "deck temperature", probe),
        ("air meter", "air temperature and relative humidity", air),
        ("scale", "mass, kg", scale),
    ):
        stated = {} if uncertainty is None else {"expanded_uncertainty": uncertainty}
        builder.add("instrument", instrument=key, measures=measures, **stated)
    builder.add("conditions", **WEATHER, area="main", instruments=["probe", "air meter"])
    builder.add("mix", kg=5, catalyst_ml=dose, bays=["r1b1", "r1b2"])
    builder.add("usage", used=kg, instrument="scale")
    simple, guarded = (assessed(builder, rule).findings for rule in (GENERAL, GUARDED))
    for plain, strict in zip(simple, guarded, strict=True):
        assert strict.verdict in (plain.verdict, Verdict.UNDECIDED)


@given(
    figure=st.sampled_from(["mass_kg", "catalyst_ml", "outline_m", "bay_edge_m", "mat_pct"]),
    more=st.floats(1.01, 10),
)
def test_wider_figure_makes_nothing_better_known(figure: str, more: float) -> None:
    builder = equipped()
    builder.add("mix", kg=5, bays=["r1b1", "r1b2"])
    builder.add("mix", kg=31)
    known: Figure = getattr(GENERAL.uncertainty, figure)
    wider = replace(GENERAL.uncertainty, **{figure: replace(known, value=known.value * more)})
    before = assessed(builder).findings
    after = assessed(builder, replace(GENERAL, uncertainty=wider)).findings
    spreads = [
        (one.expanded_uncertainty or 0.0, other.expanded_uncertainty or 0.0)
        for one, other in zip(before, after, strict=True)
    ]
    assert all(wide >= narrow for narrow, wide in spreads)
    assert any(wide > narrow for narrow, wide in spreads)

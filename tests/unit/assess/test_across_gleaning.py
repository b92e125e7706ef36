"""What one job has to tell: every figure is the one that its assessment judges."""

from __future__ import annotations

from datetime import timedelta

import pytest

from qa.assess.assessment import assess
from qa.assess.fact import Fact, JobFacts, Quantity, Sample, Why
from tests.unit.assess.many_jobs import GENERAL, add_mixes, opened, sealed, told
from tests.unit.assess.sound_job import sound_job


def of(facts: JobFacts, quantity: Quantity) -> list[Fact]:
    return [fact for fact in facts.facts if fact.quantity is quantity]


def why(facts: JobFacts, quantity: Quantity) -> list[tuple[str, Why]]:
    return [(left.subject, left.why) for left in facts.left_out if left.quantity is quantity]


@pytest.mark.parametrize(
    ("quantity", "check", "of_area"),
    [
        (Quantity.RESIN, "laminate.consumption", True),
        (Quantity.RESIN_OF_BAYS, "laminate.consumption", False),
        (Quantity.TOPCOAT, "topcoat.consumption", True),
    ],
)
def test_rates_are_those_of_the_assessment(quantity: Quantity, check: str, of_area: bool) -> None:
    job = sound_job().job()
    judged = {
        found.subject or found.area: found.value
        for found in assess(job, GENERAL).findings
        if found.check == check and (found.subject is None) is of_area
    }
    facts = {fact.subject: fact.value for fact in of(told(job), quantity)}
    assert facts == pytest.approx(judged)
    assert facts


def test_dose_error_is_a_share_of_the_target() -> None:
    """33 ml/kg at 14 °C is 10 % above 30; 36 at 12 °C is 10 % below 40 (published dose chart)."""
    builder = opened(1)
    builder.add("mix", kg=5, catalyst_ml=165, deck_c=14)
    builder.add("mix", kg=5, catalyst_ml=180, deck_c=12)
    assert [fact.value for fact in of(told(builder), Quantity.DOSE_ERROR)] == [10.0, -10.0]


def test_mix_outside_the_chart_has_no_error() -> None:
    builder = opened(1)
    builder.add("mix", deck_c=3)
    facts = told(builder)
    assert of(facts, Quantity.DOSE_ERROR) == []
    assert why(facts, Quantity.DOSE_ERROR) == [("mix-1", Why.NO_TARGET)]


def test_withdrawn_mix_tells_nothing() -> None:
    builder = opened(1)
    mix = builder.add("mix")
    builder.add("correction", corrects=mix, body=None)
    assert of(told(builder), Quantity.DOSE_ERROR) == []


def test_area_counts_when_its_stage_is_signed() -> None:
    builder = opened(1)
    builder.add("mix", kg=36)
    assert why(told(builder), Quantity.RESIN) == [("main", Why.NOT_COMPLETE)]
    builder.add("sign_off", stage="laminate")
    (rate,) = of(told(builder), Quantity.RESIN)
    assert (rate.value, rate.target, rate.made_as) == (1.5, 1.5, "1 layer of 450 g/m²")


def test_usage_without_a_mass_is_left_out() -> None:
    builder = opened(1)
    builder.add("usage", unit="l")
    builder.add("sign_off", stage="laminate")
    assert why(told(builder), Quantity.RESIN) == [("main", Why.NO_MASS)]


def test_bays_off_the_plan_have_no_rate() -> None:
    builder = opened(1)
    add_mixes(builder, [0.0], bays=["r1b1"], kg=1.5)
    add_mixes(builder, [0.0], bays=["r9b9"])
    facts = told(builder)
    assert [fact.subject for fact in of(facts, Quantity.RESIN_OF_BAYS)] == ["mix-1"]
    assert why(facts, Quantity.RESIN_OF_BAYS) == [("mix-2", Why.OFF_PLAN)]


def test_pinholes_are_those_of_the_first_look() -> None:
    builder = opened(1)
    builder.add("examination", pinholes=3, examined_m2=0.5)
    builder.add("examination", pinholes=0, after_repair=True)
    builder.add("examination", bay="r1b2", pinholes=1, examined_m2=1.5)
    (fact,) = of(told(builder), Quantity.PINHOLES)
    assert (fact.sample, fact.value) == (Sample(count=4, size=2.0), 2.0)


def test_pinholes_belong_to_who_laid_the_bay() -> None:
    """Otto looks at all bays; he laid one of them."""
    builder = opened(1)
    add_mixes(builder, [0.0], by="ines", bays=["r1b1"])
    add_mixes(builder, [0.0], by="otto", bays=["r1b2"])
    for bay, pinholes in (("r1b1", 2), ("r1b2", 0), ("r1b3", 1)):
        builder.add("examination", by="otto", bay=bay, pinholes=pinholes)
    facts = of(told(builder), Quantity.PINHOLES)
    by_crew = {fact.crew: fact.sample.count for fact in facts if fact.sample}
    assert by_crew == {"ines": 2, "otto": 0, None: 1}


def test_photos_are_missed_when_the_stage_is_signed() -> None:
    builder = opened(1)
    builder.add("photo", stage="survey")
    facts = told(builder)
    assert of(facts, Quantity.PHOTOS_MISSING) == []
    assert ("survey", Why.NOT_COMPLETE) in why(facts, Quantity.PHOTOS_MISSING)
    builder.add("sign_off", stage="survey", by="otto")
    (fact,) = of(told(builder), Quantity.PHOTOS_MISSING)
    assert (fact.subject, fact.sample, fact.crew) == ("survey", Sample(count=1, size=2), "otto")


@pytest.mark.parametrize(("delay_h", "late"), [(11, 0), (13, 2)])
def test_late_entries_are_counted_for_each_person(delay_h: int, late: int) -> None:
    builder = opened(1)
    for person in ("ines", "ines", "otto", "otto"):
        builder.add("conditions", by=person)
    facts = of(told(sealed(builder, timedelta(hours=delay_h))), Quantity.LATE)
    assert {fact.crew: fact.sample for fact in facts} == {
        "ines": Sample(count=late, size=2),
        "otto": Sample(count=late, size=2),
    }


def test_record_without_a_ledger_knows_no_lateness() -> None:
    facts = told(sound_job())
    assert of(facts, Quantity.LATE) == []
    assert why(facts, Quantity.LATE) == [("its entries", Why.NO_ARRIVAL)]


def test_people_are_named_by_key_only() -> None:
    facts = told(sound_job())
    assert {fact.crew for fact in facts.facts} <= {"ines", "otto", "mara", "ines + otto"}
    assert "Invented" not in repr(facts)

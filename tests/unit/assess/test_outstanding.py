"""What a stage still asks for, gathered by what a person does next."""

from __future__ import annotations

import pytest

from qa.assess.assessment import assess
from qa.assess.frame import frame_of
from qa.assess.outstanding import Outstanding, Way, outstanding
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, equipped, sound_job


def still(builder: RecordBuilder, stage: Stage) -> tuple[Outstanding, ...]:
    job = builder.job()
    return outstanding(frame_of(job, GENERAL), assess(job, GENERAL), stage)


def of_way(builder: RecordBuilder, stage: Stage, way: Way) -> list[str]:
    return [one.sentence for one in still(builder, stage) if one.way is way]


@pytest.mark.parametrize("stage", list(Stage))
def test_sound_job_asks_for_nothing_more(stage: Stage) -> None:
    assert still(sound_job(), stage) == ()


@pytest.mark.parametrize("stage", list(Stage))
def test_empty_stage_ends_with_its_signatures(stage: Stage) -> None:
    ways = [one.way for one in still(equipped(), stage)]
    hold = GENERAL.stage_rule(stage).hold_point
    assert ways[-1 - hold] is Way.SIGN_OFF
    assert (Way.RELEASE in ways) is hold


def test_job_without_area_asks_for_one_first() -> None:
    assert still(RecordBuilder.opened(), Stage.SURVEY)[0].way is Way.AREA


def test_missing_check_is_worded_by_the_specification() -> None:
    builder = sound_job(without={"deck.moisture"})
    (one,) = still(builder, Stage.DECK)
    assert one.sentence == "Moisture content of the deck boards"
    assert (one.way, one.check, one.area) == (Way.CHECK, "deck.moisture", "main")


def test_area_is_named_where_there_are_several() -> None:
    builder = sound_job(without={"deck.moisture"})
    builder.add("area", area="porch", name="Porch roof")
    sentences = of_way(builder, Stage.DECK, Way.CHECK)
    assert "Moisture content of the deck boards, Main roof" in sentences
    assert "Moisture content of the deck boards, Porch roof" in sentences


def test_edges_that_lack_a_check_stand_in_one_line() -> None:
    sentences = of_way(equipped(), Stage.TRIMS, Way.CHECK)
    assert "Battens behind the edge: eaves, right" in sentences


def test_photos_of_one_request_stand_in_one_line() -> None:
    (edges, *_) = [one for one in still(equipped(), Stage.COMPLETION) if one.way is Way.PHOTO]
    assert edges.text == "Photo: every edge (eaves, right, wall, left)"
    assert edges.photo is not None
    assert edges.photo.edge == "eaves"


def test_photo_with_a_tape_names_its_check() -> None:
    photos = [one for one in still(equipped(), Stage.DECK) if one.way is Way.PHOTO]
    gap = next(one for one in photos if "gap at the wall" in one.text)
    assert gap.photo is not None
    assert gap.photo.check == "deck.expansion_gap"


def test_wet_stage_without_mix_asks_for_conditions_and_mixes() -> None:
    assert of_way(equipped(), Stage.LAMINATE, Way.CONDITIONS) == ["Conditions before the first mix"]
    assert of_way(equipped(), Stage.LAMINATE, Way.MIX) == ["The mixes; none is recorded yet"]
    assert of_way(equipped(), Stage.LAMINATE, Way.USAGE) == []


def test_mix_lists_what_it_still_lacks() -> None:
    builder = equipped()
    builder.add("conditions", stage="laminate", area="main", air_c=15, humidity_pct=60, deck_c=14)
    builder.add("mix", kg=3, catalyst_ml=90, stirred_before_s=40)
    one, *_ = [one for one in still(builder, Stage.LAMINATE) if one.way is Way.MIX]
    assert one.text == "Mix-1: stirring after dosing, when it was emptied"
    assert one.mix == "mix-1"


def test_mix_without_reading_asks_for_conditions_near_it() -> None:
    builder = equipped()
    builder.add("mix", kg=3, catalyst_ml=90)
    assert of_way(builder, Stage.LAMINATE, Way.CONDITIONS) == ["Conditions near mix-1"]


def test_rain_that_nobody_told_of_is_asked_for_in_so_many_words() -> None:
    builder = equipped()
    builder.add("conditions", stage="laminate", area="main", air_c=15, humidity_pct=60, deck_c=14)
    builder.add("mix", kg=3, catalyst_ml=90)
    assert of_way(builder, Stage.LAMINATE, Way.CONDITIONS) == [
        "Whether it rained, from the first mix until now"
    ]
    builder.add("conditions", stage="laminate", area="main", rain=False)
    assert of_way(builder, Stage.LAMINATE, Way.CONDITIONS) == []


def test_first_mix_without_its_bays_leads_to_that_mix() -> None:
    builder = equipped()
    builder.add("mix", kg=3, catalyst_ml=90)
    (one,) = [
        one for one in still(builder, Stage.LAMINATE) if one.check == "laminate.first_mix_area"
    ]
    assert (one.way, one.mix) == (Way.MIX, "mix-1")
    assert one.text == "Area laid with the first mix of the day: the bays of mix-1"


def test_bays_not_examined_are_written_as_runs() -> None:
    builder = equipped()
    assert "All bays not examined" in of_way(builder, Stage.LAMINATE, Way.BAYS)
    builder.add("mix", kg=3, catalyst_ml=90)
    builder.add("examination", bay="r1b1", passes=4)
    assert of_way(builder, Stage.LAMINATE, Way.BAYS) == [
        "Bays r1b2–r1b6, r2b1–r2b6, r3b1–r3b6, r4b1–r4b6, r5b1–r5b6 not examined"
    ]


def test_work_after_the_signature_asks_for_another() -> None:
    builder = equipped()
    builder.add("sign_off", at="09:00", stage="survey")
    builder.add("observation", at="10:00", stage="survey", check="survey.joists_sound", area="main")
    assert of_way(builder, Stage.SURVEY, Way.SIGN_OFF) == [
        "The installer’s sign-off again, after the last work"
    ]


def test_refusal_asks_for_both_signatures_again() -> None:
    builder = equipped()
    for at, by, decision in (
        ("09:00", "ines", "complete"),
        ("10:00", "mara", "refused"),
        ("11:00", "ines", "complete"),
        ("12:00", "mara", "released"),
    ):
        builder.add("sign_off", at=at, by=by, stage="deck", decision=decision)
        asked = [of_way(builder, Stage.DECK, way) for way in (Way.SIGN_OFF, Way.RELEASE)]
        match decision, at:
            case "refused", _:
                assert asked == [["The installer’s sign-off again, after the refusal"], []]
            case "complete", "11:00":
                assert asked == [[], ["Release by a supervisor, who refused it before"]]
            case "released", _:
                assert asked == [[], []]


def test_readings_are_asked_for_while_the_laminate_cures() -> None:
    builder = equipped()
    assert of_way(builder, Stage.TOPCOAT, Way.CONDITIONS) == ["Conditions before the first mix"]
    builder.add("mix", kg=36)
    (asked,) = of_way(builder, Stage.TOPCOAT, Way.CONDITIONS)
    assert asked == (
        "Conditions at least every 2 h while the laminate cures, and before the first mix"
    )

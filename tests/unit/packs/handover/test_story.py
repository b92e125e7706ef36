"""The story of the stages: what it shows is what the assessment and the record say."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from qa.assess.conditions import MARGIN
from qa.packs.handover.photo_choice import best_photos
from qa.packs.handover.plain_words import owner_quantity
from qa.packs.handover.stage_figures import OWNER_CHECKS, figures_of
from qa.packs.handover.story import StageStory, StoryContext, counts_text, story_chapter
from qa.packs.source import PackSource
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.packs.handover.sample_job import (
    opened,
    sealed_with_a_late_entry,
    source_of,
    survey_and_deck,
    whole_job,
)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> PackSource:
    return source_of(whole_job().record(), tmp_path_factory.mktemp("photos"))


def story_of(source: PackSource, stage: Stage) -> StageStory:
    context = story_chapter(source).context
    assert isinstance(context, StoryContext)
    return context.stages[stage.order]


def test_each_stage_has_its_place(whole: PackSource) -> None:
    assert [key for key, _ in story_chapter(whole).sections] == [f"stage-{s}" for s in Stage]


@pytest.mark.parametrize("stage", Stage)
def test_counts_add_up_to_the_findings(whole: PackSource, stage: Stage) -> None:
    findings = whole.assessment.of_stage(stage)
    counted = [int(word) for word in counts_text(findings).split(":")[1].split() if word.isdigit()]
    assert sum(counted) == len(findings)


def test_good_answer_of_one_area_keeps_its_name(whole: PackSource) -> None:
    good = story_of(whole, Stage.COMPLETION).good
    assert "Porch: The strips that cover the joint at the wall are fixed and sealed." in good
    assert ". The strips that cover" not in good


def test_nearest_dew_is_the_assessments_least_margin(whole: PackSource) -> None:
    margins = [
        f.value
        for f in whole.assessment.of_stage(Stage.LAMINATE)
        if f.check == MARGIN and f.value is not None
    ]
    (told,) = story_of(whole, Stage.LAMINATE).weather
    assert f"it was {owner_quantity(min(margins), 'K')} above the dew point" in told


def test_rain_is_told_with_its_times_and_cover(whole: PackSource) -> None:
    (told,) = story_of(whole, Stage.LAMINATE).interruptions
    assert "Rain stopped the work on Extension from 13 May 2026, 09:20 until 10:30." in told
    assert "“Sheeted over; the edge was dried with cloths.”" in told


def test_squares_that_rain_met_are_named_in_words(whole: PackSource) -> None:
    (told,) = story_of(whole, Stage.LAMINATE).interruptions
    assert told.endswith("Squares that it met: row 2, square 6.")


def test_stage_with_nothing_but_a_late_entry_says_late() -> None:
    late = source_of(sealed_with_a_late_entry(whole_job()))
    survey = story_of(late, Stage.SURVEY)
    assert survey.word == "written down late"
    assert survey.counts.endswith("and 1 written down late.")


def test_late_entry_does_not_hide_what_is_open() -> None:
    late = source_of(sealed_with_a_late_entry(whole_job()))
    assert story_of(late, Stage.LAMINATE).word == "outside limits"


def test_rain_without_an_end_says_so() -> None:
    builder = opened()
    builder.add("interruption")
    (told,) = story_of(source_of(builder.record()), Stage.LAMINATE).interruptions
    assert "the record does not say until when" in told


def test_figures_come_with_the_limits_that_applied(whole: PackSource) -> None:
    fall = figures_of(whole, Stage.SURVEY)[0]
    assert (fall.found, fall.asked, fall.word) == (
        "14 mm per metre",
        "at least 12.5 mm per metre",
        "within limits",
    )


def test_figure_of_a_wrong_mix_shows_it(whole: PackSource) -> None:
    dose = next(f for f in figures_of(whole, Stage.LAMINATE) if "hardener" in f.subject)
    assert dose.found == "10 to 30 ml per kg"
    assert dose.word == "put right"
    assert "five of six within" in dose.subject


def test_owner_checks_stand_in_the_specification(whole: PackSource) -> None:
    assert {key for keys in OWNER_CHECKS.values() for key in keys} <= set(
        whole.specification.checks
    )


def test_release_is_told_with_person_and_words(whole: PackSource) -> None:
    told = " ".join(story_of(whole, Stage.DECK).sign_offs)
    assert "Mara Invented checked the stage and let the work go on" in told
    assert "“Seen, dry, released.”" in told


def test_missing_release_is_said() -> None:
    told = " ".join(story_of(source_of(opened().record()), Stage.DECK).sign_offs)
    assert "No sign-off by an installer is recorded." in told
    assert "No release by a supervisor is recorded." in told


def test_installers_release_does_not_count() -> None:
    builder = opened()
    builder.add("sign_off", decision="released", by="ines", statement="Go on.")
    told = " ".join(story_of(source_of(builder.record()), Stage.DECK).sign_offs)
    assert "This does not count: only a supervisor may decide it." in told


def test_stage_without_work_says_so() -> None:
    assert (
        story_of(source_of(RecordBuilder.opened().record()), Stage.DECK).when == "No work recorded"
    )


@pytest.mark.parametrize("stage", Stage)
def test_few_photographs_of_many_are_chosen(whole: PackSource, stage: Stage) -> None:
    chosen = best_photos(whole, stage, most=3)
    assert 0 < len(chosen) <= 3
    assert chosen == best_photos(whole, stage, most=3)
    assert {photo.body.stage for photo in chosen} == {stage}


def test_chosen_photographs_show_different_things(whole: PackSource) -> None:
    chosen = best_photos(whole, Stage.DECK, most=3)
    assert len({(p.body.area, p.body.check) for p in chosen}) == 3


def test_batch_labels_and_faults_come_last(whole: PackSource) -> None:
    chosen = best_photos(whole, Stage.LAMINATE, most=3)
    assert Counter((p.body.lot, p.body.nonconformity) for p in chosen) == {(None, None): 3}


def test_erased_photograph_is_not_shown(whole: PackSource) -> None:
    shown = best_photos(whole, Stage.SURVEY, most=3)[0].body.file
    photos = dict(whole.photos) | {shown: replace(whole.photos[shown], print_copy=None)}
    left = best_photos(replace(whole, photos=photos), Stage.SURVEY, most=3)
    assert shown not in [photo.body.file for photo in left]


def test_long_caption_is_cut_under_the_picture(tmp_path: Path) -> None:
    builder = opened()
    survey_and_deck(builder)
    builder.add("photo", stage="trims", edge="eaves", area="main", caption="very long " * 40)
    ((shown,),) = story_of(source_of(builder.record(), tmp_path), Stage.TRIMS).rows
    assert len(shown.caption) <= 84
    assert len(shown.alt) <= 240

"""A photograph that was asked for in words stays to do until it is there."""

from __future__ import annotations

from qa.assess.asked_photos import ASKED, asked_photos
from qa.trade.vocabulary import Stage
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import equipped
from tests.unit.assess.test_outstanding import still

WORDS = "The corner by the outlet"


def asking() -> RecordBuilder:
    builder = equipped()
    builder.add("note", text=f"{ASKED}{WORDS}", stage="deck", area="main")
    return builder


def wanted(builder: RecordBuilder, stage: Stage = Stage.DECK) -> list[str]:
    return [asked.words for asked in asked_photos(builder.job(), stage)]


def test_asked_photo_is_still_to_do_in_its_stage() -> None:
    assert wanted(asking()) == [WORDS]
    assert wanted(asking(), Stage.TRIMS) == []
    (line,) = (one for one in still(asking(), Stage.DECK) if WORDS in one.text)
    assert line.photo is not None
    assert (line.photo.area, line.photo.caption) == ("main", WORDS)


def test_photo_with_its_words_meets_the_wish() -> None:
    builder = asking()
    builder.add("photo", file="photos/a.jpg", stage="deck", caption="Another corner")
    assert wanted(builder) == [WORDS]
    builder.add("photo", file="photos/b.jpg", stage="deck", caption=f"{WORDS.lower()}, dry")
    assert wanted(builder) == []


def test_photo_taken_in_before_does_not_meet_it() -> None:
    builder = equipped()
    builder.add("photo", file="photos/a.jpg", stage="deck", caption=WORDS)
    builder.add("note", text=f"{ASKED}{WORDS}", stage="deck")
    assert wanted(builder) == [WORDS]


def test_other_note_asks_for_nothing() -> None:
    builder = equipped()
    builder.add("note", text=f"The client said: {ASKED}{WORDS}", stage="deck")
    assert wanted(builder) == []

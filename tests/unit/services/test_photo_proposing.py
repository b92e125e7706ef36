"""What a photograph is proposed to show, by when it was taken."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from qa.assess.frame import frame_of
from qa.services.photo_proposing import USUAL, Proposal, propose
from qa.services.photo_targets import PhotoTarget, target_of
from qa.specification.loader import built_in
from qa.trade.vocabulary import Stage
from tests.factories import FIRST_MORNING, RecordBuilder

MINUTE = timedelta(minutes=1)


def at(text: str) -> datetime:
    """A time of the first morning."""
    hour, minute = map(int, text.split(":"))
    return FIRST_MORNING.replace(hour=hour, minute=minute)


@pytest.fixture
def builder() -> RecordBuilder:
    """A morning of laminating, after moisture was measured."""
    builder = RecordBuilder.equipped()
    builder.add("measurement", at="08:10", stage="deck", check="deck.moisture", area="main")
    builder.add("mix", at="09:00", mix="mix-1")
    builder.add("examination", at="10:00", bay="r1b1")
    builder.add("examination", at="10:20", bay="r2b3")
    return builder


def proposed(builder: RecordBuilder, *taken: datetime) -> list[Proposal | None]:
    """The proposals of photographs, in the order in which they are given."""
    frame = frame_of(builder.job(), built_in("general-grp/1"))
    found = propose(frame, {str(place): one for place, one in enumerate(taken)})
    return [found.get(str(place)) for place in range(len(taken))]


def test_bay_examined_just_before_is_proposed_with_its_reason(builder: RecordBuilder) -> None:
    (found,) = proposed(builder, at("10:23"))
    assert found is not None
    assert found.target == PhotoTarget(stage=Stage.LAMINATE, area="main", bay="r2b3")
    assert found.reason == "3 min after bay r2b3 was examined"


def test_nearest_bay_wins_before_and_after(builder: RecordBuilder) -> None:
    before, after = proposed(builder, at("10:09"), at("10:11"))
    assert before is not None
    assert after is not None
    assert (before.target.bay, after.target.bay) == ("r1b1", "r2b3")
    assert after.reason == "9 min before bay r2b3 was examined"


def test_check_and_mix_are_named_close_to_them_alone(builder: RecordBuilder) -> None:
    on, beyond, mixed = proposed(builder, at("08:15"), at("08:16"), at("08:58"))
    assert on is not None
    assert beyond is not None
    assert mixed is not None
    assert on.target.check == "deck.moisture"
    assert beyond.target == PhotoTarget(stage=Stage.DECK, area="main")
    assert mixed.target.mix == "mix-1"
    assert mixed.reason == "2 min before mix-1 was mixed"


@pytest.mark.parametrize(("apart", "is_proposed"), [(-MINUTE, True), (MINUTE, False)])
def test_nothing_is_proposed_beyond_what_is_near(
    builder: RecordBuilder, apart: timedelta, *, is_proposed: bool
) -> None:
    (found,) = proposed(builder, at("10:20") + USUAL.stage + apart)
    assert (found is not None) is is_proposed


def test_request_is_met_by_as_many_as_it_asks_for(builder: RecordBuilder) -> None:
    first, second = proposed(builder, at("10:21"), at("10:22"))
    assert first is not None
    assert second is not None
    assert "row 2" in first.meets
    assert second.meets != first.meets


def test_batch_that_was_registered_is_proposed_with_the_stage_about_it() -> None:
    builder = RecordBuilder.equipped()
    builder.add("lot", at="08:00", lot="resin-9", batch_number="R 9")
    builder.add("conditions", at="08:30", stage="laminate")
    (found,) = proposed(builder, at("08:01"))
    assert found is not None
    assert (found.target.stage, found.target.lot) == (Stage.LAMINATE, "resin-9")
    assert found.reason == "1 min after batch R 9 was registered"


def test_record_of_nothing_proposes_nothing() -> None:
    assert proposed(RecordBuilder.opened(), at("08:01")) == [None]


def test_target_reads_as_it_was_written() -> None:
    target = PhotoTarget(stage=Stage.DECK, area="main", caption="“Q” <b>")
    assert target_of(target.text) == target
    for broken in ("", "1", "[]", "{}", '{"stage":"roof"}', '{"stage":"deck","x":"y"}',
                   '{"stage":"deck","bay":3}'):  # fmt: skip
        assert target_of(broken) is None, broken

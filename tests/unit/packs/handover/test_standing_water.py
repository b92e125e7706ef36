"""Where rain can stand, as the owner is told it."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from qa.packs.handover.standing_water import StandingWater, standing_water
from qa.packs.handover.story import StoryContext, story_chapter
from tests.factories import RecordBuilder
from tests.unit.packs.handover.sample_job import DENTED, opened, source_of

Levels = Sequence[Sequence[float]]

EVEN: Levels = ((0, 0, 0), (6, 0, 0), (6, 4, 0.1), (0, 4, 0.1))
SHALLOW: Levels = (*EVEN, (3, 2, -0.0004))


def surveyed(levels: Levels, **area: object) -> RecordBuilder:
    builder = opened()
    builder.entries[1]["body"] |= {"levels_m": [list(level) for level in levels]} | area
    return builder


def told(levels: Levels, **area: object) -> StandingWater | None:
    return standing_water(source_of(surveyed(levels, **area).record()))


def test_deep_hollow_is_told_and_drawn() -> None:
    water = told(DENTED)
    assert water is not None
    (sentence,) = water.sentences
    assert sentence == (
        "The levels that were taken show a low place: rain can stand on about 3 m² of “Extension”, "
        "at most 12 mm deep, until it dries."
    )
    assert water.plan is not None
    assert "Extension, fall 1:57, 1 hollow that cannot drain" in water.plan


def test_hollow_that_levels_can_feign_is_told_and_not_drawn() -> None:
    water = told(SHALLOW)
    assert water is not None
    assert "at most 0.4 mm deep" in water.sentences[0]
    assert water.plan is None


@pytest.mark.parametrize("levels", [EVEN, (), EVEN[:2]])
def test_nothing_is_told_where_there_is_nothing_to_tell(levels: Levels) -> None:
    assert told(levels) is None


def test_story_of_the_survey_alone_tells_it() -> None:
    context = story_chapter(source_of(surveyed(DENTED).record())).context
    assert isinstance(context, StoryContext)
    assert [stage.water is not None for stage in context.stages] == [True] + [False] * 6

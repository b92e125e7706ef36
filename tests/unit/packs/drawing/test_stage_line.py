from __future__ import annotations

from qa.packs.drawing import StageLine, draw_stage_line
from tests.unit.packs.drawing.reading_svg import title_of, words_of
from tests.unit.packs.drawing.samples import STAGES


def test_every_stage_is_told_with_its_status() -> None:
    words = words_of(draw_stage_line(STAGES))
    for step in STAGES.steps:
        assert step.name in words
        assert step.status in words


def test_title_tells_the_same_as_the_line() -> None:
    assert "Laminate: outside limits (1)" in title_of(draw_stage_line(STAGES))


def test_no_stage_gives_a_sentence() -> None:
    assert words_of(draw_stage_line(StageLine(steps=()))) == ["No stage is recorded."]

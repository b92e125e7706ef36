"""The stages of the work as one line, each with its name and how it stands, in words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from markupsafe import Markup

from qa.packs.drawing.axes import draw_diamonds, draw_dots
from qa.packs.drawing.canvas import Canvas, line
from qa.packs.drawing.ink import LABEL_STRONG, LINE_MM, RULE, SMALL, TEXT_WIDTH_MM
from qa.packs.drawing.lettering import broken_into_lines, cut_to_fit

_LEVEL_MM = 6.4


class StepMark(StrEnum):
    """What the mark of a stage says at a glance."""

    SETTLED = "settled"
    """Within limits, put right or conceded: nothing is left to do."""
    APART = "apart"
    """Something is outside limits."""
    UNFINISHED = "unfinished"
    """Something is not recorded yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageStep:
    """One stage.

    Attributes:
        name: its name.
        status: how it stands, in words.
        mark: what its mark says.
    """

    name: str
    status: str
    mark: StepMark


@dataclass(frozen=True, slots=True, kw_only=True)
class StageLine:
    """The stages in the order of the work.

    Attributes:
        steps: one or more of them.
        title: what the drawing shows, for those who cannot see it.
        width_mm: width of the drawing, mm.
    """

    steps: tuple[StageStep, ...]
    title: str = "The stages of the work"
    width_mm: float = TEXT_WIDTH_MM


def draw_stage_line(stages: StageLine) -> Markup:
    """Return the line as SVG."""
    words = "; ".join(f"{step.name}: {step.status}" for step in stages.steps)
    canvas = Canvas(
        width_mm=stages.width_mm,
        title=f"{stages.title}. {words or 'None'}.",
        description="From left to right in the order of the work.",
    )
    if not stages.steps:
        canvas.text("No stage is recorded.", (0.0, 4.0), SMALL)
        return canvas.markup(6.0)
    step_mm = stages.width_mm / len(stages.steps)
    places = [(step_mm * index + 1.4, _LEVEL_MM) for index in range(len(stages.steps))]
    canvas.stroke(line((places[0], places[-1])), RULE)
    for mark, draw in ((StepMark.SETTLED, False), (StepMark.UNFINISHED, True)):
        own = [p for p, step in zip(places, stages.steps, strict=True) if step.mark is mark]
        draw_dots(canvas, own, is_hollow=draw)
    apart = [p for p, s in zip(places, stages.steps, strict=True) if s.mark is StepMark.APART]
    draw_diamonds(canvas, apart)
    most = 1
    for index, step in enumerate(stages.steps):
        left, room = step_mm * index, step_mm - 1.5
        canvas.text(cut_to_fit(step.name, room, LABEL_STRONG), (left, 3.0), LABEL_STRONG)
        texts = broken_into_lines(step.status, room, SMALL)
        most = max(most, len(texts))
        for number, text in enumerate(texts):
            canvas.text(text, (left, _LEVEL_MM + 4.6 + number * LINE_MM), SMALL)
    return canvas.markup(_LEVEL_MM + 4.6 + (most - 1) * LINE_MM + 1.4)

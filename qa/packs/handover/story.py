"""What was done, stage by stage: when, by whom, in what weather, with which result."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from qa.assess.finding import Finding, StageStatus
from qa.assess.frame import grouped
from qa.assess.stages import work_by_stage
from qa.packs.chapters import Chapter
from qa.packs.handover import plain_words as plain
from qa.packs.handover.photo_choice import best_photos
from qa.packs.handover.sign_offs import sign_offs_of
from qa.packs.handover.stage_figures import Figure, figures_of
from qa.packs.handover.standing_water import StandingWater, standing_water
from qa.packs.handover.weather import interruptions_of, weather_of
from qa.packs.photo_rows import Row, photo_rows
from qa.packs.source import PackSource
from qa.packs.verdicts import Said
from qa.specification.model import Per, Specification, StageRule
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage

_STATUS = {
    StageStatus.WITHIN: plain.WITHIN,
    StageStatus.OUTSIDE: Said(mark="outside", word="outside limits"),
    StageStatus.PUT_RIGHT: plain.PUT_RIGHT,
    StageStatus.CONCEDED: plain.ACCEPTED,
    StageStatus.INCOMPLETE: Said(mark="not-recorded", word="incomplete"),
}
_IN_A_ROW = 3
"""A stage has one row of photographs; all of them stand in the warranty file."""
_GOOD = (plain.WITHIN, plain.PUT_RIGHT, plain.NOT_APPLICABLE)
_TOLD_APART = "stage."
"""Checks whose answer the sign-offs and photographs of the page tell better."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageStory:
    """One stage as the chapter tells it.

    Attributes:
        key: its id on the page.
        mark, word: how the stage stands.
        when: the days on which it was worked on.
        people: who recorded it.
        purpose: what happens in the stage.
        good: what was found to be as it should be, one sentence after another.
        weather, interruptions: paragraphs.
        counts: how many checks there were and how they stand.
        is_told_before: whether the second page tells more of it.
    """

    key: str
    title: str
    mark: str
    word: str
    when: str
    people: str
    purpose: str
    good: str
    weather: tuple[str, ...]
    interruptions: tuple[str, ...]
    water: StandingWater | None
    figures: tuple[Figure, ...]
    counts: str
    is_told_before: bool
    sign_offs: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryContext:
    """What the chapter shows."""

    stages: tuple[StageStory, ...]


def story_chapter(source: PackSource) -> Chapter:
    """The chapter on the work itself."""
    stages = tuple(_story(source, rule) for rule in source.specification.stages)
    return Chapter(
        key="what-was-done",
        title="What was done",
        template="packs/handover/story.html",
        context=StoryContext(stages=stages),
        sections=tuple((stage.key, stage.title) for stage in stages),
    )


def _story(source: PackSource, rule: StageRule) -> StageStory:
    stage = rule.stage
    findings = source.assessment.of_stage(stage)
    status = _status(source.assessment.stages[stage.order].status, findings)
    return StageStory(
        key=f"stage-{stage}",
        title=rule.title,
        mark=status.mark,
        word=status.word,
        when=_when(source, stage),
        people=_people(source, stage),
        purpose=rule.plain,
        good=_good(source.specification, findings),
        weather=weather_of(source, stage),
        interruptions=tuple(interruptions_of(source, stage)),
        water=standing_water(source) if stage is Stage.SURVEY else None,
        figures=figures_of(source, stage),
        counts=counts_text(findings),
        is_told_before=any(
            f.verdict in (Verdict.OUTSIDE, Verdict.UNDECIDED, Verdict.NOT_RECORDED)
            for f in findings
        ),
        sign_offs=tuple(sign_offs_of(source, stage)),
        rows=photo_rows(source, best_photos(source, stage, most=_IN_A_ROW), in_a_row=_IN_A_ROW),
    )


def _status(status: StageStatus, findings: Sequence[Finding]) -> Said:
    """How a stage stands; one with nothing open but late entries is told as just that."""
    is_open = {plain.said_to_owner(found) for found in findings if found.is_open}
    return plain.LATE if is_open == {plain.LATE} else _STATUS[status]


def _when(source: PackSource, stage: Stage) -> str:
    work = work_by_stage(source.job)[stage]
    if not work:
        return "No work recorded"
    return span_text(source, work[0].at, work[-1].at)


def span_text(source: PackSource, first: datetime, last: datetime) -> str:
    """One day, or from day to day."""
    start, end = source.day_text(first), source.day_text(last)
    return start if start == end else f"{start} to {end}"


def _people(source: PackSource, stage: Stage) -> str:
    people = dict.fromkeys(entry.by for entry in work_by_stage(source.job)[stage])
    names = [source.person(key) for key in people]
    return f"Recorded by {plain.listed(names)}" if names else ""


def _good(specification: Specification, findings: Sequence[Finding]) -> str:
    """What was asked by yes or no and answered as it should be.

    Where one area's answer was good and another's was not, or is missing, each good answer is told
    with its area, so that it does not speak for the whole roof.
    """
    answers = [f for f in findings if f.value is None and not f.check.startswith(_TOLD_APART)]
    sentences: list[str] = []
    for key, alike in grouped(answers, lambda found: found.check).items():
        check = specification.checks[key]
        good = [found for found in alike if found.verdict is Verdict.WITHIN]
        if not good or check.plain_good is None or check.per is Per.MIX:
            continue
        is_good_throughout = all(plain.said_to_owner(found) in _GOOD for found in alike)
        sentences += [check.plain_good] if is_good_throughout else [f.plain for f in good]
    return " ".join(dict.fromkeys(sentences))


def counts_text(findings: Sequence[Finding]) -> str:
    """How many checks there were and how they stand.

    A finding outside its limits is counted by what was done about it.
    """
    if not findings:
        return "Nothing was asked of this stage."
    counts = Counter(plain.said_to_owner(found) for found in findings)
    shares = [f"{counts[v]} {_COUNT_WORDS[v]}" for v in _COUNT_WORDS if counts[v]]
    return f"{plain.sentence_case(plain.counted(len(findings), 'check'))}: {plain.listed(shares)}."


_COUNT_WORDS = {
    plain.WITHIN: "within limits",
    plain.PUT_RIGHT: "put right",
    plain.ACCEPTED: "accepted as found",
    plain.OPEN: "outside and still open",
    plain.LATE: "written down late",
    plain.UNDECIDED: "not decided",
    plain.NOT_RECORDED: "not recorded",
    plain.NOT_APPLICABLE: "not asked for here",
}

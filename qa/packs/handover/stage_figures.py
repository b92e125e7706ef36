"""The few numbers of each stage that an owner may want one day, each beside what was asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from qa.assess.cure import CLOCK
from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.assess.mixes import DOSE
from qa.packs.handover import plain_words as plain
from qa.packs.source import PackSource
from qa.trade.conformity import Limits
from qa.trade.vocabulary import Stage

OWNER_CHECKS: Mapping[Stage, tuple[str, ...]] = {
    Stage.SURVEY: ("survey.fall", "survey.joist_centres"),
    Stage.DECK: ("deck.board_thickness", "deck.moisture", "deck.expansion_gap"),
    Stage.TRIMS: ("trims.overlap", "trims.fixing_centres"),
    Stage.BANDAGE: ("bandage.corner_strip", "mix.dose"),
    Stage.LAMINATE: (
        "laminate.bays_examined",
        "laminate.pinholes",
        "laminate.mat_overlap",
        "laminate.thickness",
        "mix.dose",
    ),
    Stage.TOPCOAT: ("topcoat.interval", "mix.dose"),
    Stage.COMPLETION: ("completion.dry_hours", "completion.cured"),
}
"""What is measured and outlives the work; quantities of material have a chapter of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number, or the range of several, with what was asked for and how it stands."""

    subject: str
    found: str
    asked: str
    mark: str
    word: str


def figures_of(source: PackSource, stage: Stage) -> tuple[Figure, ...]:
    """The rows of a stage's table; a check without a value has no row."""
    valued = [found for found in source.assessment.of_stage(stage) if found.value is not None]
    by_check = grouped(valued, lambda found: found.check)
    return tuple(
        row for key in OWNER_CHECKS[stage] for row in _rows(source, key, by_check.get(key, ()))
    )


def _rows(source: PackSource, key: str, findings: Sequence[Finding]) -> Iterator[Figure]:
    """One row for all findings that share their limits."""
    check = source.specification.checks[key]
    by_limits = grouped(findings, lambda found: (found.lower, found.upper))
    for (lower, upper), alike in by_limits.items():
        standing = plain.worst(alike)
        subject = check.plain
        if alike[0].subject == CLOCK:
            subject = "The time by the clock before the topcoat"
        if key == DOSE and len(by_limits) > 1:
            subject = f"{subject}, for one range of deck temperature"
        if len(alike) > 1:
            subject = f"{subject} ({_share(alike)})"
        yield Figure(
            subject=subject,
            found=plain.owner_range([f.value for f in alike if f.value is not None], check.unit),
            asked=plain.owner_limits(Limits(lower=lower, upper=upper), check.unit),
            mark=standing.mark,
            word=standing.word,
        )


def _share(alike: Sequence[Finding]) -> str:
    """How many values the row stands for, and how many of them were right from the start."""
    right = sum(plain.said_to_owner(found) == plain.WITHIN for found in alike)
    if right == len(alike):
        return f"{plain.number_word(len(alike))} values"
    good = plain.number_word(right) if right else "none"
    return f"{good} of {plain.number_word(len(alike))} within"

"""The second page: what was outside its limits, how it was put right, what is still open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from qa.packs.chapters import Chapter
from qa.packs.handover import plain_words as plain
from qa.packs.handover.matter_text import ToldMatter, told
from qa.packs.handover.matters import Matter, matters
from qa.packs.handover.silence import SilentStage, silent_stages
from qa.packs.source import PackSource
from qa.packs.verdicts import Said

KEY = "outside-limits"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideContext:
    """What the chapter shows.

    Attributes:
        summary: how many matters there are and how they stand.
        matters: every one of them; empty where nothing was outside its limits.
        silent: what was not recorded, by stage.
        silent_summary: how much that is.
    """

    summary: str
    matters: tuple[ToldMatter, ...]
    silent: tuple[SilentStage, ...]
    silent_summary: str


def outside_chapter(source: PackSource) -> Chapter:
    """The chapter that nobody can miss."""
    found = matters(source)
    silent = silent_stages(source)
    context = OutsideContext(
        summary=summary(found),
        matters=tuple(told(source, matter, number) for number, matter in enumerate(found, 1)),
        silent=silent,
        silent_summary=_silent_summary(sum(stage.count for stage in silent)),
    )
    return Chapter(
        key=KEY,
        title="What was outside its limits",
        template="packs/handover/outside.html",
        context=context,
        sections=(("not-recorded", "What was not recorded"),),
    )


def summary(found: Sequence[Matter]) -> str:
    """How many matters there are and how they stand, in one or two sentences."""
    standings = [matter.standing for matter in found]
    undecided = standings.count(plain.UNDECIDED)
    counts = Counter(standing for standing in standings if standing != plain.UNDECIDED)
    said = []
    if counts:
        total = counts.total()
        things = plain.sentence_case(plain.counted(total, "thing"))
        shares = plain.listed([_share(total, n, standing) for standing, n in counts.items()])
        said.append(f"{things} {_were(total)} outside the limits: {shares}.")
    else:
        said.append("Nothing that was recorded on this roof was outside its limits.")
    if undecided:
        more = f"{plain.number_word(undecided)}{' more' if counts else ''}"
        said.append(plain.sentence_case(f"{more} could not be decided."))
    return " ".join(said)


def _share(total: int, number: int, standing: Said) -> str:
    who = "it" if total == 1 else plain.number_word(number)
    verb = ("is" if number == 1 else "are") if standing == plain.OPEN else _were(number)
    return f"{who} {verb} {standing.word}"


def _were(number: int) -> str:
    return "was" if number == 1 else "were"


def _silent_summary(count: int) -> str:
    if not count:
        return "Everything that this roof’s rules ask for was written down."
    things = plain.sentence_case(plain.counted(count, "thing"))
    return f"{things} that the rules ask for {_were(count)} not written down."
